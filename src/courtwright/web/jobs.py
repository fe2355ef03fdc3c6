"""Work in the background: a few threads, progress, a stop button, results kept for a reload.

What a person waits for and what merely follows have threads of their own, so that
a quick trial in one tab never stands behind a long sweep of another.
"""

from __future__ import annotations

import logging
import secrets
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, Final

from courtwright.errors import CancelledError, CourtwrightError, NotFoundError

LOG: Final = logging.getLogger("courtwright.web")
KEPT: Final = 40
"""Finished jobs that stay readable."""
MOST_WAITING: Final = 12


class State(StrEnum):
    """How far a job is."""

    WAITING = "waiting"
    RUNNING = "running"
    DONE = "done"
    STOPPED = "stopped"
    FAILED = "failed"


OVER: Final = frozenset({State.DONE, State.STOPPED, State.FAILED})


class BusyError(CourtwrightError):
    """Too much is waiting already."""


@dataclass
class Job:
    """One piece of work. Changed only by the thread that runs it, apart from the wish to stop."""

    id: str
    subject: str
    """what it is about, such as a game's id"""
    of: int
    listed: bool = True
    """whether another tab that opens the subject may go on watching it"""
    state: State = State.WAITING
    done: int = 0
    result: dict[str, Any] | None = None
    error: Exception | None = None
    _stop: threading.Event = field(default_factory=threading.Event)

    def progress(self, done: int, of: int) -> None:
        """Take note of how far it is."""
        self.done, self.of = done, of

    def cancelled(self) -> bool:
        """Whether somebody asked to stop."""
        return self._stop.is_set()

    def stop(self) -> None:
        """Ask to stop; the work hears of it when it next looks."""
        self._stop.set()


Work = Callable[[Job], dict[str, Any]]


class Jobs:
    """The queue. Every job has its own name, so that two tabs never stop or read each other's."""

    def __init__(self, workers: int = 1) -> None:
        self._pool = ThreadPoolExecutor(workers, thread_name_prefix="courtwright-job")
        self._behind = ThreadPoolExecutor(1, thread_name_prefix="courtwright-behind")
        self._jobs: dict[str, Job] = {}
        self._lock = threading.Lock()

    def start(self, subject: str, of: int, work: Work, *, behind: bool = False, listed: bool = True) -> Job:
        """Put work in the queue, or in the one behind it; raise `BusyError` where too much is waiting."""
        job = Job(secrets.token_hex(8), subject, of, listed and not behind)
        with self._lock:
            if sum(other.state is State.WAITING for other in self._jobs.values()) >= MOST_WAITING:
                raise BusyError(f"{MOST_WAITING} trials are waiting already")
            self._forget()
            self._jobs[job.id] = job
        (self._behind if behind else self._pool).submit(self._run, job, work)
        return job

    def find(self, key: str) -> Job:
        """The job of that name."""
        with self._lock:
            job = self._jobs.get(key)
        if job is None:
            raise NotFoundError(f"there is no job “{key}”; it ended long ago, or the program was restarted")
        return job

    def about(self, subject: str) -> list[Job]:
        """The listed jobs on one subject that are not over, oldest first."""
        with self._lock:
            mine = [job for job in self._jobs.values() if job.subject == subject and job.listed]
        return [job for job in mine if job.state not in OVER]

    def stop(self, key: str) -> Job:
        """Ask a job to stop; one that waits is over at once."""
        job = self.find(key)
        with self._lock:
            job.stop()
            if job.state is State.WAITING:
                job.state = State.STOPPED
        return job

    def close(self) -> None:
        """Stop everything and wait for the threads."""
        with self._lock:
            for job in self._jobs.values():
                job.stop()
        for pool in (self._pool, self._behind):
            pool.shutdown(wait=True, cancel_futures=True)

    def _forget(self) -> None:
        over = [key for key, job in self._jobs.items() if job.state in OVER]
        for key in over[: max(0, len(over) - KEPT + 1)]:
            del self._jobs[key]

    def _run(self, job: Job, work: Work) -> None:
        with self._lock:
            if job.state is State.STOPPED:
                return
            job.state = State.RUNNING
        try:
            job.result = work(job)
            job.done, job.state = job.of, State.DONE
        except CancelledError:
            job.state = State.STOPPED
        except Exception as error:  # whatever it was, the person who waits must be told
            if not isinstance(error, CourtwrightError):
                LOG.exception("a job failed")
            job.error, job.state = error, State.FAILED
