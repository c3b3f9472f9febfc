"""Work on other machines, by Dask: its scheduler, its workers, its tasks.

Whoever reaches a scheduler over plain TCP can have it, and all that connect to it, run whatever he
likes: what goes over the line is unpickled. So plain TCP is for this machine only, and TLS, which
Dask's own settings give certificates for, for all others.
"""

from __future__ import annotations

import contextlib
import logging
import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from frame3d.errors import OutputError
from frame3d.studies.running.engine import Crew

if TYPE_CHECKING:
    from distributed import Security

_ADDRESS = re.compile(r"(?P<kind>tcp|tls)://(?P<host>\[[^\]]+\]|[^:/\[\]]+):(?P<port>\d{1,5})")
_HERE = ("127.0.0.1", "localhost", "[::1]")
_TASK_S, _PATIENCE_S = 4.0, 10.0
_LOGGERS = ("distributed", "tornado", "asyncio")
_SETTINGS = "distributed.comm.tls"


def checked_address(address: str) -> str:
    """An address that a study may go to.

    Raises
    ------
    OutputError
        If it is none, or if it would go to another machine unprotected; says why.
    """
    found = _ADDRESS.fullmatch(address.strip())
    if found is None or not 0 < int(found["port"]) < 65536:
        raise OutputError(
            f"{address!r} is no address of a scheduler; write it as tcp://127.0.0.1:8786 on this "
            "machine, tls://NAME:8786 on another"
        )
    if found["kind"] == "tcp" and found["host"].lower() not in _HERE:
        raise OutputError(
            f"{address}: over plain tcp anyone on the way could read the designs and run programs "
            "here and on the workers; tcp:// is for 127.0.0.1 only, so use tls:// with "
            "certificates in Dask's settings, or a tunnel of ssh to 127.0.0.1"
        )
    return address.strip()


@contextlib.contextmanager
def dask_crew(address: str) -> Iterator[Crew]:
    """The workers of the scheduler at ``address``.

    Raises
    ------
    OutputError
        If Dask is not installed, the address will not do, or nobody answers there.
    """
    place = checked_address(address)
    try:
        from distributed import Client
    except ImportError:
        raise OutputError(
            "--scheduler needs Dask; install it with pip install 'frame3d[dask]'"
        ) from None
    # What goes wrong on the way is told by the study, once, and not by each of Dask's own parts.
    for name in [*logging.root.manager.loggerDict]:
        if name.partition(".")[0] in _LOGGERS:
            logging.getLogger(name).setLevel(logging.CRITICAL + 1)
    try:
        client = Client(place, timeout=_PATIENCE_S, security=_security(place), set_as_default=False)
    except (OSError, ValueError, TypeError) as error:
        raise OutputError(
            f"no scheduler answers at {place} ({_first_line(error)}); start one with dask "
            "scheduler, and workers with dask worker"
        ) from None
    try:
        try:
            client.wait_for_workers(1, timeout=_PATIENCE_S)
        except TimeoutError:
            raise OutputError(
                f"the scheduler at {place} has no workers; start some: dask worker {place}"
            ) from None
        threads = sum(client.nthreads().values())
        # Rows follow from designs alone, but a task that is asked again is to be done again.
        executor = client.get_executor(pure=False)
        yield Crew(executor=executor, places=threads, task_s=_TASK_S)
        executor.shutdown(wait=False)
    finally:
        with contextlib.suppress(OSError, TimeoutError):
            client.close(timeout=2)


def _security(place: str) -> Security | None:
    """Certificates from Dask's own settings; none on this machine over tcp."""
    if not place.startswith("tls://"):
        return None
    import dask
    from distributed import Security

    if not dask.config.get(f"{_SETTINGS}.ca-file", None):
        raise OutputError(
            f"{place}: there are no certificates; set {_SETTINGS}.ca-file, and client.cert and "
            "client.key beside it, in Dask's settings, or DASK_DISTRIBUTED__COMM__TLS__CA_FILE "
            "and so on in the environment"
        )
    return Security(require_encryption=True)


def _first_line(error: Exception) -> str:
    return (str(error).splitlines() or [type(error).__name__])[0]
