"""Who does the work of a long list: this process, its cores, or a cluster through Dask. The only user of Dask."""

from __future__ import annotations

import importlib
import os
import threading
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import connection, parent_process
from typing import Any

from bracing.errors import MissingExtraError
from bracing.storm.clock import refuse

LOCAL = "local"
MOST_WORKERS = 256


@contextmanager
def spread(workers: int | None = None, dask: str | None = None) -> Iterator[Executor | None]:
    """Give an executor for as long as it is needed; None where this process does the work.

    Args:
        workers: processes; one a core unless given.
        dask: address of a Dask scheduler, or "local" for a cluster on this machine; None does without.

    Yields:
        The executor.

    Raises:
        InputError: no such number of workers.
        MissingExtraError: Dask is asked for and not installed.
    """
    if workers is not None and not 1 <= workers <= MOST_WORKERS:
        refuse("--workers", workers, f"1 to {MOST_WORKERS}")
    count = workers or os.cpu_count() or 1
    if dask is not None:
        with _dask(dask, count) as executor:
            yield executor
    elif count == 1:
        yield None
    else:
        with ProcessPoolExecutor(count, initializer=die_with_parent) as pool:
            yield pool


@contextmanager
def _dask(address: str, workers: int) -> Iterator[Executor]:
    try:
        dask: Any = importlib.import_module("distributed")
    except ImportError:
        package, extra = "distributed", "many"
        raise MissingExtraError(package, extra) from None
    if address == LOCAL:
        with (
            dask.LocalCluster(n_workers=workers, threads_per_worker=1, dashboard_address=None) as cluster,
            dask.Client(cluster) as client,
            client.get_executor() as executor,
        ):
            yield executor
        return
    try:
        client = dask.Client(address, timeout=10)
    except (
        OSError,
        ValueError,
        TypeError,
        RuntimeError,
        ImportError,
    ) as error:  # by what the address begins with
        why = " ".join(str(error).split())[:60]
        refuse("--dask", address, f"the address of a Dask scheduler that answers ({why})")
    with client, client.get_executor() as executor:
        yield executor


def die_with_parent() -> None:
    """Let a worker end with the process that started it: one that is killed outright leaves nobody behind."""
    parent = parent_process()
    if parent is None:
        return

    def wait() -> None:
        connection.wait([parent.sentinel])
        os._exit(1)

    threading.Thread(target=wait, daemon=True).start()
