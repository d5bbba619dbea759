"""Reading a file that came from outside in a process of its own, which is ended when it takes too long."""

from collections.abc import Callable
from functools import cache
from multiprocessing import get_all_start_methods, get_context
from multiprocessing.connection import Connection
from typing import Any, TypeVar

from slabwright.errors import Finding, InputError, SlabwrightError

T = TypeVar("T")
SECONDS = 20.0


def read_apart(read: Callable[..., T], *arguments: Any, seconds: float = SECONDS) -> T:
    """What a function of a module makes of its arguments, both plain enough to be sent.

    Raises
    ------
    InputError
        If it refuses, falls, or takes too long.
    """
    context = _context()
    mine, its = context.Pipe(duplex=False)
    process = context.Process(target=_read, args=(its, read, arguments), daemon=True)
    process.start()
    its.close()
    try:
        if not mine.poll(seconds):
            raise _refused(f"takes more than {seconds:.0f} s to read; save only what is needed and try again.")
        done, found = mine.recv()
    except EOFError:
        raise _refused("cannot be read.") from None
    finally:
        process.kill()
        process.join()
        mine.close()
    if not done:
        raise InputError("file", found)
    result: T = found
    return result


@cache
def _context() -> Any:
    """Where the system knows how, processes are split off one that has read the readers already."""
    if "forkserver" not in get_all_start_methods():
        return get_context("spawn")
    context = get_context("forkserver")
    context.set_forkserver_preload(
        ["slabwright.web.outline_file", "slabwright.web.site_file", "slabwright.files.sitefile", "ezdxf.recover"]
    )
    return context


def _read(pipe: Connection, read: Callable[..., Any], arguments: tuple[Any, ...]) -> None:
    try:
        pipe.send((True, read(*arguments)))
    except InputError as error:
        pipe.send((False, error.findings))
    except SlabwrightError as error:
        pipe.send((False, (Finding(where="the file", message=str(error)),)))
    except Exception as error:  # noqa: BLE001 - a file from outside may break any reader
        pipe.send((False, (Finding(where="the file", message=f"cannot be read: {type(error).__name__}: {error}"),)))


def _refused(message: str) -> InputError:
    return InputError("file", [Finding(where="the file", message=message)])
