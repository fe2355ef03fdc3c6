"""Trials in the background: progress, stopping, two tabs side by side, what stays for a reload."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from courtwright.errors import CancelledError, CannotPlayError, NotFoundError
from courtwright.web.jobs import KEPT, MOST_WAITING, BusyError, Job, Jobs, State


@pytest.fixture
def jobs() -> Iterator[Jobs]:
    jobs = Jobs(workers=1)
    yield jobs
    jobs.close()


def soon(true: Callable[[], bool]) -> None:
    """Wait until it is true, ten seconds at most."""
    for _ in range(1000):
        if true():
            return
        time.sleep(0.01)
    pytest.fail("did not happen within 10 s")


class Work:
    """Work that goes on until told to end, and looks for the stop button as a trial does."""

    def __init__(self) -> None:
        self.end = threading.Event()

    def __call__(self, job: Job) -> dict[str, Any]:
        job.progress(3, 10)
        while not self.end.wait(0.005):
            if job.cancelled():
                raise CancelledError
        return {"answer": 42}


def test_progress_then_result(jobs: Jobs) -> None:
    work = Work()
    job = jobs.start("game", 10, work)
    soon(lambda: job.state is State.RUNNING and job.done == 3)
    assert not job.result

    work.end.set()
    soon(lambda: job.state is State.DONE)
    assert job.result == {"answer": 42}
    assert (job.done, job.of) == (10, 10)
    assert jobs.find(job.id) is job


def test_stopping_one_leaves_the_other(jobs: Jobs) -> None:
    first, second = Work(), Work()
    one, other = jobs.start("game", 1, first), jobs.start("game", 1, second)
    soon(lambda: one.state is State.RUNNING)
    assert other.state is State.WAITING
    assert jobs.about("game") == [one, other]

    jobs.stop(one.id)
    soon(lambda: one.state is State.STOPPED and other.state is State.RUNNING)
    second.end.set()
    soon(lambda: other.state is State.DONE)
    assert one.result is None
    assert jobs.about("game") == []


def test_job_that_waits_stops_at_once_and_never_runs(jobs: Jobs) -> None:
    running, never = Work(), Work()
    one = jobs.start("game", 1, running)
    other = jobs.start("game", 1, never)
    soon(lambda: one.state is State.RUNNING)

    assert jobs.stop(other.id).state is State.STOPPED
    running.end.set()
    soon(lambda: one.state is State.DONE)
    assert (other.state, other.done) == (State.STOPPED, 0)


def test_refusal_and_failure_are_told(jobs: Jobs, caplog: pytest.LogCaptureFixture) -> None:
    def refuse(_job: Job) -> dict[str, Any]:
        raise CannotPlayError("the game has a screen")

    def fail(_job: Job) -> dict[str, Any]:
        raise ZeroDivisionError("insides")

    refused, failed = jobs.start("game", 1, refuse), jobs.start("game", 1, fail)
    soon(lambda: failed.state is State.FAILED)

    assert refused.state is State.FAILED
    assert isinstance(refused.error, CannotPlayError)
    assert isinstance(failed.error, ZeroDivisionError)
    assert caplog.text.count("a job failed") == 1, "a refusal is no failure of the program"


def test_stopping_what_is_over_changes_nothing(jobs: Jobs) -> None:
    job = jobs.start("game", 1, lambda _: {})
    soon(lambda: job.state is State.DONE)
    jobs.stop(job.id)
    assert job.state is State.DONE


def test_too_many_waiting_are_refused(jobs: Jobs) -> None:
    jobs.start("game", 1, Work())
    soon(lambda: jobs.about("game")[0].state is State.RUNNING)
    for _ in range(MOST_WAITING):
        jobs.start("game", 1, Work())
    with pytest.raises(BusyError, match="are waiting already"):
        jobs.start("game", 1, Work())


def test_old_results_are_let_go_and_running_ones_are_not(jobs: Jobs) -> None:
    work = Work()
    pool = Jobs(workers=2)
    running = pool.start("game", 1, work)
    first = pool.start("game", 1, lambda _: {})
    for _ in range(KEPT + 5):
        job = pool.start("game", 1, lambda _: {})
        soon(lambda job=job: job.state is State.DONE)  # type: ignore[misc]

    with pytest.raises(NotFoundError, match="ended long ago"):
        pool.find(first.id)
    assert pool.find(running.id) is running
    pool.close()
    assert running.state is State.STOPPED


def test_closing_stops_everything() -> None:
    jobs = Jobs(workers=1)
    one, other = jobs.start("game", 1, Work()), jobs.start("game", 1, Work())
    soon(lambda: one.state is State.RUNNING)
    before_s = time.monotonic()
    jobs.close()
    assert time.monotonic() - before_s < 2
    assert one.state is State.STOPPED
    assert other.state is not State.DONE
