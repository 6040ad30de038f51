"""How a file is written: whole or not at all, one writer at a time, and never over what nobody meant to lose.

Every command writes through here. A file a person goes on editing is written with `compare_and_replace`, which
refuses where it is no longer what the answer was worked out from; what a command was asked to put out is written
with `Output`, which asks before it takes the place of a file and never takes that of an input.
"""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import sys
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

from bracing.errors import ChangedError, InputError, why_not

PATIENCE_S = (
    10.0  # a write takes a small part of a second: who holds a lock longer is stopped, or at work on a list
)
_AGAIN_S = 0.02
_BUSY = (errno.EACCES, errno.EAGAIN, errno.EDEADLK)
_held: set[str] = set()  # locks of this process: the system's are between processes
_one_thread = threading.Lock()


class _Run(NamedTuple):
    read: set[object]  # inputs, by real path and by place on the disk
    written: list[tuple[Path, Callable[[], bool]]]  # outputs, and whether each is there as written


_run: list[_Run] = []  # the run of the command line; none where a program calls


# -- one writer at a time --------------------------------------------------------------------------------


@contextlib.contextmanager
def locked(path: Path, *, patience: float = PATIENCE_S) -> Iterator[None]:
    """Hold the lock of a file: of all who ask for it, in any process, one at a time goes on.

    The lock is the system's, on a file `.NAME.lock` beside it: it is let go of when its holder ends, however it
    ends, so that one left behind by a killed run stops nobody.

    Args:
        path: the file, there or not; a link is followed.
        patience: how long to wait for another holder [s].

    Raises:
        OSError: the folder takes no file, or the lock is still held.
    """
    real = path.resolve()
    beside = real.with_name(f".{real.name[:100]}.lock")
    until = time.monotonic() + patience
    while (handle := _try(beside)) is None:
        if time.monotonic() >= until:
            raise BlockingIOError(errno.EAGAIN, "being written by another run")
        time.sleep(_AGAIN_S)
    try:
        yield
    finally:
        if os.name != "nt":  # while it is held: who waits for it sees that it is gone, and asks anew
            beside.unlink(missing_ok=True)
        os.close(handle)
        if os.name == "nt":
            with contextlib.suppress(OSError):  # somebody waits for it: it is theirs now
                beside.unlink()
        _held.discard(str(beside))


def _try(beside: Path) -> int | None:
    """Take the lock; None where somebody has it: another thread of this process, or another process."""
    with _one_thread:
        handle = None if str(beside) in _held else _try_lock(beside)
        if handle is not None:
            _held.add(str(beside))
        return handle


def _try_lock(beside: Path) -> int | None:
    """Take the system's lock; None where somebody has it, or has just taken its file away."""
    handle = os.open(beside, os.O_RDWR | os.O_CREAT, 0o666)
    try:
        with contextlib.suppress(OSError):  # whoever else may write in this folder may lock in it
            os.chmod(beside, 0o666)
        _lock(handle)
        if os.path.samestat(os.fstat(handle), os.stat(beside)):
            return handle
    except FileNotFoundError:
        pass
    except OSError as error:
        if error.errno not in _BUSY:
            os.close(handle)
            raise
    os.close(handle)
    return None


def _lock(handle: int) -> None:
    if sys.platform == "win32":
        import msvcrt

        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.lockf(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


# -- whole or not at all ---------------------------------------------------------------------------------


def compare_and_replace(path: Path, content: bytes, *, was: str | None) -> None:
    """Put content in place of a file that is still what was read; of two who read the same, the later is refused.

    Args:
        path: the file; a link is followed.
        content: its new bytes.
        was: `digest` of the file as it was read; None where there was none, and must be none.

    Raises:
        ChangedError: it is another file now; nothing was written.
        OSError: it cannot be written; nothing was written.
    """
    with locked(path):
        if digest(path) != was:
            raise ChangedError(str(path))
        put_in_place(path, content, new=was is None)


def digest(path: Path) -> str | None:
    """Give the SHA-256 of the bytes of a file; None where there is none.

    Args:
        path: the file.

    Raises:
        OSError: it cannot be read, or is no plain file.
    """
    try:
        refuse_unplain(path)
        return _sha256(path.read_bytes())
    except FileNotFoundError:
        return None


def _sha256(content: bytes) -> str:
    import hashlib  # the list of commands reads no file and need not load it

    return hashlib.sha256(content).hexdigest()


def put_in_place(path: Path, content: bytes, *, new: bool = False) -> None:
    """Put content in place of a file, or make it, in one step: the old file or the new one stands, whole.

    Args:
        path: the file; a link is followed.
        content: its bytes.
        new: only where there is none.

    Raises:
        OSError: it cannot be written; what was there stands.
    """
    import tempfile

    real = path.resolve()
    with contextlib.suppress(FileNotFoundError):
        refuse_unplain(real)
    temporary: str | None = None
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{real.name[:100]}.", dir=real.parent)
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(temporary, real.stat().st_mode & 0o7777 if real.exists() else 0o644)
        wanted = _sha256(content)
        _note(real, lambda: digest(real) == wanted)
        if not (new and _linked(temporary, real)):
            os.replace(temporary, real)
            temporary = None
        _flush_folder(real.parent)
    finally:
        if temporary is not None:
            with contextlib.suppress(OSError):
                os.unlink(temporary)


def _linked(temporary: str, real: Path) -> bool:
    """Give a file its name only where nobody has it; False where the disk knows no second names."""
    try:
        os.link(temporary, real)
    except FileExistsError:
        raise
    except (OSError, AttributeError, NotImplementedError):
        return False
    return True


def refuse_unplain(path: Path) -> None:
    """Refuse a device, a pipe or a folder where a file is to be: reading or writing one may never end.

    Args:
        path: the file; a link is followed.

    Raises:
        OSError: it is one, or there is nothing.
    """
    mode = path.stat().st_mode
    if stat.S_ISDIR(mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
    if not stat.S_ISREG(mode):
        raise OSError(errno.EINVAL, "a device or pipe, not a plain file")


def _flush_folder(folder: Path) -> None:
    """Ask the disk to keep the new name; not every system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


# -- what a command was asked to put out -----------------------------------------------------------------


class Output(NamedTuple):
    """Files a command was asked to put out.

    Attributes:
        option: the option that names them, for faults.
        overwrite: files that are there may be written over; what the command has read never is.
    """

    option: str
    overwrite: bool = False

    def check(self, path: Path, *, there: bool = True) -> None:
        """Refuse a place before the work is done that would be refused after it.

        Args:
            path: the file.
            there: its folder must be there already.

        Raises:
            InputError: an input, a device, pipe or folder, or a file nobody said may be written over.
        """
        try:
            taken = was_read(path)
            refuse_unplain(path)
        except FileNotFoundError as error:
            if there and not path.parent.is_dir():
                raise self._unwritten(path, error) from None
            return
        except (OSError, ValueError) as error:
            raise self._unwritten(path, error) from None
        if taken:
            self._refuse(path, "another file: this one is read, and is never written over")
        if not self.overwrite:
            self._refuse(path, "a name that is not taken, or --overwrite beside it")

    def put(self, path: Path, content: bytes) -> Path:
        """Write one file, whole or not at all.

        Args:
            path: the file.
            content: its bytes.

        Raises:
            InputError: as `check`, or it cannot be written.
        """
        try:
            with locked(path):
                self.check(path)
                put_in_place(path, content, new=not self.overwrite)
        except InputError:
            raise
        except (OSError, ValueError) as error:  # ValueError: a NUL in the name
            raise self._unwritten(path, error) from None
        return path

    def fill(self, folder: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
        """Write files into a folder, made where it is not there; none where one of them would be refused.

        Args:
            folder: the folder.
            files: by name, what to write.

        Raises:
            InputError: as `put`.
        """
        for name in files:
            self.check(folder / name, there=False)
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except (OSError, ValueError) as error:
            expected = f"a folder that can be written ({why_not(error)})"
            raise InputError.of(self.option, str(folder), expected) from None
        return tuple(self.put(folder / name, content) for name, content in files.items())

    @contextlib.contextmanager
    def alone(self, path: Path) -> Iterator[None]:
        """Keep a file that is written bit by bit to this run: two that write into one take from one another.

        Args:
            path: the file.

        Raises:
            InputError: as `check`, or another run is writing it.
        """
        self.check(path)
        with contextlib.ExitStack() as held:
            try:
                held.enter_context(locked(path, patience=0.0))
            except (OSError, ValueError) as error:
                raise self._unwritten(path, error) from None
            real = path.resolve()
            before = _stamp(real)
            _note(real, lambda: _stamp(real) != before)
            yield

    def _refuse(self, path: Path, expected: str) -> None:
        raise InputError.of(self.option, str(path), expected)

    def _unwritten(self, path: Path, error: Exception) -> InputError:
        return InputError.of(self.option, str(path), f"a file that can be written ({why_not(error)})")


# -- what this run has read and written ------------------------------------------------------------------


def begin() -> None:
    """Begin a run of the command line: nothing read, nothing written."""
    _run[:] = [_Run(set(), [])]


def note_read(path: Path) -> None:
    """Note an input, so that no output takes its place.

    Args:
        path: the file.
    """
    with contextlib.suppress(OSError, ValueError):
        for run in _run:
            run.read.update(_names(path))


def inputs() -> tuple[Path, ...]:
    """Give the inputs of this run, by their real paths."""
    return tuple(Path(name) for run in _run for name in run.read if isinstance(name, str))


def was_read(path: Path) -> bool:
    """Whether this run has read a file, under this name or another.

    Args:
        path: the file.
    """
    try:
        return any(not run.read.isdisjoint(_names(path)) for run in _run)
    except FileNotFoundError:
        return False


def _names(path: Path) -> set[object]:
    """A file's real path, and its place on the disk, which hard links share."""
    found = path.stat()
    names: set[object] = {str(path.resolve())}
    return names | {(found.st_dev, found.st_ino)} if found.st_ino else names


def _note(path: Path, stands: Callable[[], bool]) -> None:
    """Note an output before its last step, so that an interrupt cannot come between; it is looked at when asked."""
    for run in _run:
        run.written.append((path, stands))


def _stamp(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_size, found.st_mtime_ns


def written() -> tuple[str, ...]:
    """Give the files this run has written, as they can be typed here; one that came to nothing is left out."""
    found = []
    for path, stands in (each for run in _run for each in run.written):
        with contextlib.suppress(OSError):
            if stands():
                near = path.is_relative_to(Path.cwd())
                found.append(str(path.relative_to(Path.cwd()) if near else path))
    return tuple(dict.fromkeys(found))
