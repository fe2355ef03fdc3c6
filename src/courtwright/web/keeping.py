"""The backup, for the coach to take away."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from typing import IO, Final

from fastapi import APIRouter
from fastapi.responses import StreamingResponse

from courtwright.store.backup import file_name, write_backup
from courtwright.web.context import InHouse

router: Final = APIRouter(prefix="/api")

CHUNK_BYTES: Final = 64 * 1024
IN_MEMORY_BYTES: Final = 8_000_000


@router.get("/backup")
def get_backup(house: InHouse) -> StreamingResponse:
    """Everything that is kept, as one file; made whole before the first byte is sent."""
    file = tempfile.SpooledTemporaryFile(max_size=IN_MEMORY_BYTES)  # noqa: SIM115 (closed once it was sent)
    try:
        manifest = write_backup(house.store, file)
        size = file.tell()
        file.seek(0)
    except BaseException:
        file.close()
        raise
    headers = {
        "Content-Disposition": f'attachment; filename="{file_name(manifest.made_at)}"',
        "Content-Length": str(size),
    }
    return StreamingResponse(_chunks(file), media_type="application/zip", headers=headers)


def _chunks(file: IO[bytes]) -> Iterator[bytes]:
    with file:
        while chunk := file.read(CHUNK_BYTES):
            yield chunk
