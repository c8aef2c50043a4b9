"""The processes that do the work of long commands: on this machine, or elsewhere by Dask."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from importlib import import_module
from multiprocessing import get_context
from typing import Annotated, Any

import typer

from gridassay.verify.batch.results import BatchError
from gridassay.verify.cli.common import RUN
from gridassay.verify.cli.ending import keep_from_workers

Workers = Annotated[
    int,
    typer.Option(
        "--workers", min=1, help="Use this many processes on this machine.", rich_help_panel=RUN
    ),
]
Dask = Annotated[
    str | None,
    typer.Option(
        "--dask",
        metavar="ADDRESS",
        help="Use the machines of this Dask scheduler.",
        rich_help_panel=RUN,
    ),
]


@contextmanager
def executor_of(workers: int, dask: str | None) -> Iterator[Executor | None]:
    """The executor of the work: this process, a pool of processes, or a Dask client's executor."""
    if dask is not None:
        try:
            distributed: Any = import_module("distributed")
        except ImportError:
            raise BatchError("--dask needs the extra: pip install 'gridassay[dask]'") from None
        try:
            client = distributed.Client(dask, timeout="10s")
        except (OSError, ValueError) as error:
            raise BatchError(f"{dask}: no Dask scheduler answers there ({error})") from None
        with client:
            yield client.get_executor()
    elif workers > 1:
        keep_from_workers()
        # Fresh interpreters: a forked one would share solvers and locks with this.
        with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
            yield pool
    else:
        yield None
