"""The dense kernels that the sparse factorisation stands on, callable from compiled code.

SciPy ships BLAS and LAPACK with C entry points; these are bound by name, so that compiled functions that use them
can still be cached on disk. Matrices are column-major pieces of flat arrays, each told by its first element, its
leading dimension and its size. No checks are made here: the callers own the sizes.
"""

import ctypes
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from threading import Lock

import numpy as np
from llvmlite import binding
from numba import njit, types
from numba.extending import get_cython_function_address
from numpy.linalg import _umath_linalg
from scipy.linalg import cython_blas

from slabwright.solvers.plate.reference import Floats

_DOUBLES, _INTS, _CHARS = types.CPointer(types.float64), types.CPointer(types.int32), types.CPointer(types.uint8)


def _bound(library: str, name: str, *arguments: types.Type) -> types.ExternalFunction:
    symbol = f"slabwright_{name}"
    binding.add_symbol(symbol, get_cython_function_address(f"scipy.linalg.cython_{library}", name))
    return types.ExternalFunction(symbol, types.void(*arguments))


_potrf = _bound("lapack", "dpotrf", _CHARS, _INTS, _DOUBLES, _INTS, _INTS)
_trsm = _bound("blas", "dtrsm", _CHARS, _CHARS, _CHARS, _CHARS, _INTS, _INTS, _DOUBLES, _DOUBLES, _INTS, _DOUBLES, _INTS)
_syrk = _bound("blas", "dsyrk", _CHARS, _CHARS, _INTS, _INTS, _DOUBLES, _DOUBLES, _INTS, _DOUBLES, _DOUBLES, _INTS)
_gemm = _bound("blas", "dgemm", _CHARS, _CHARS, _INTS, _INTS, _INTS, _DOUBLES, _DOUBLES, _INTS, _DOUBLES, _INTS, _DOUBLES, _DOUBLES, _INTS)
_trsv = _bound("blas", "dtrsv", _CHARS, _CHARS, _CHARS, _INTS, _DOUBLES, _INTS, _DOUBLES, _INTS)
_gemv = _bound("blas", "dgemv", _CHARS, _INTS, _INTS, _DOUBLES, _DOUBLES, _INTS, _DOUBLES, _INTS, _DOUBLES, _DOUBLES, _INTS)


@cache
def _thread_switches() -> list[tuple[Callable[[], int], Callable[[int], None]]]:
    """For each BLAS in the program, SciPy's and NumPy's own: how many threads it uses for one call, and how to change that."""
    found = []
    for library in (ctypes.CDLL(cython_blas.__file__), ctypes.CDLL(_umath_linalg.__file__)):
        for prefix, suffix in (("scipy_openblas", ""), ("scipy_openblas", "64_"), ("openblas", ""), ("openblas", "64_")):
            try:
                found.append((getattr(library, f"{prefix}_get_num_threads{suffix}"), getattr(library, f"{prefix}_set_num_threads{suffix}")))
            except AttributeError:
                continue
            break
    return found


_lock = Lock()
_held: list[list[int]] = []


@contextmanager
def one_thread_a_call() -> Iterator[None]:
    """Hold BLAS to one thread per call, while this program's own threads call it side by side.

    Two levels of threads on few processors wait for each other: measured thirty times slower. And between its calls a
    BLAS of several threads keeps them all running for nothing.
    """
    switches = _thread_switches()
    with _lock:
        _held.append([count() for count, _ in switches] if not _held else _held[0])
        for _, change in switches:
            change(1)
    try:
        yield
    finally:
        with _lock:
            before = _held.pop()
            if not _held:
                for (_, change), threads in zip(switches, before, strict=True):
                    change(threads)


_L, _R, _T, _N = 0, 1, 2, 3
_LETTERS = np.array([76, 82, 84, 78], np.uint8)
_ONE, _MINUS, _ZERO = 0, 1, 2
_FACTORS = np.array([1.0, -1.0, 0.0])


@njit(cache=True, nogil=True)
def eliminate(panel: Floats, n_own: int, n_front: int, update: Floats) -> int:
    """Factor the first columns of a front and take their share off the rest.

    Parameters
    ----------
    panel : float64 array, n_front * n_own
        Columns to eliminate, lower part filled; becomes the factor.
    n_own, n_front : int
    update : float64 array, (n_front - n_own)**2
        Lower part of what remains; becomes the Schur complement.

    Returns
    -------
    int
        0, or the number of the first column (from 1) whose pivot was not positive.
    """
    n_rest = n_front - n_own
    sizes = np.array([n_own, n_rest, n_front, 0], np.int32)
    letter, factor = _LETTERS, _FACTORS
    _potrf(letter[_L:].ctypes, sizes[0:].ctypes, panel.ctypes, sizes[2:].ctypes, sizes[3:].ctypes)
    if n_rest > 0 and sizes[3] == 0:
        below = panel[n_own:]
        _trsm(
            letter[_R:].ctypes, letter[_L:].ctypes, letter[_T:].ctypes, letter[_N:].ctypes, sizes[1:].ctypes, sizes[0:].ctypes,
            factor[_ONE:].ctypes, panel.ctypes, sizes[2:].ctypes, below.ctypes, sizes[2:].ctypes,
        )  # fmt: skip
        _syrk(
            letter[_L:].ctypes, letter[_N:].ctypes, sizes[1:].ctypes, sizes[0:].ctypes, factor[_MINUS:].ctypes, below.ctypes,
            sizes[2:].ctypes, factor[_ONE:].ctypes, update.ctypes, sizes[1:].ctypes,
        )  # fmt: skip
    return sizes[3]


@njit(cache=True, nogil=True)
def forward(panel: Floats, n_own: int, n_front: int, own: Floats, n_columns: int, stride: int, rest: Floats) -> None:
    """Solve the own rows, and what they send to the rest: ``rest = L21 · own``.

    ``own`` holds ``n_columns`` columns ``stride`` apart; ``rest`` is tight, n_front - n_own apart.
    """
    n_rest = n_front - n_own
    sizes = np.array([n_own, n_rest, n_front, n_columns, stride, 1], np.int32)
    letter, factor = _LETTERS, _FACTORS
    if n_columns == 1:
        _trsv(
            letter[_L:].ctypes, letter[_N:].ctypes, letter[_N:].ctypes, sizes[0:].ctypes, panel.ctypes, sizes[2:].ctypes, own.ctypes,
            sizes[5:].ctypes,
        )  # fmt: skip
        if n_rest > 0:
            _gemv(
                letter[_N:].ctypes, sizes[1:].ctypes, sizes[0:].ctypes, factor[_ONE:].ctypes, panel[n_own:].ctypes, sizes[2:].ctypes,
                own.ctypes, sizes[5:].ctypes, factor[_ZERO:].ctypes, rest.ctypes, sizes[5:].ctypes,
            )  # fmt: skip
        return
    _trsm(
        letter[_L:].ctypes, letter[_L:].ctypes, letter[_N:].ctypes, letter[_N:].ctypes, sizes[0:].ctypes, sizes[3:].ctypes,
        factor[_ONE:].ctypes, panel.ctypes, sizes[2:].ctypes, own.ctypes, sizes[4:].ctypes,
    )  # fmt: skip
    if n_rest > 0:
        _gemm(
            letter[_N:].ctypes, letter[_N:].ctypes, sizes[1:].ctypes, sizes[3:].ctypes, sizes[0:].ctypes, factor[_ONE:].ctypes,
            panel[n_own:].ctypes, sizes[2:].ctypes, own.ctypes, sizes[4:].ctypes, factor[_ZERO:].ctypes, rest.ctypes,
            sizes[1:].ctypes,
        )  # fmt: skip


@njit(cache=True, nogil=True)
def backward(panel: Floats, n_own: int, n_front: int, own: Floats, n_columns: int, stride: int, rest: Floats) -> None:
    """Own rows from the known rest: ``L11ᵀ own = own - L21ᵀ rest``; layout as in :func:`forward`."""
    n_rest = n_front - n_own
    sizes = np.array([n_own, n_rest, n_front, n_columns, stride, 1], np.int32)
    letter, factor = _LETTERS, _FACTORS
    if n_columns == 1:
        if n_rest > 0:
            _gemv(
                letter[_T:].ctypes, sizes[1:].ctypes, sizes[0:].ctypes, factor[_MINUS:].ctypes, panel[n_own:].ctypes, sizes[2:].ctypes,
                rest.ctypes, sizes[5:].ctypes, factor[_ONE:].ctypes, own.ctypes, sizes[5:].ctypes,
            )  # fmt: skip
        _trsv(
            letter[_L:].ctypes, letter[_T:].ctypes, letter[_N:].ctypes, sizes[0:].ctypes, panel.ctypes, sizes[2:].ctypes, own.ctypes,
            sizes[5:].ctypes,
        )  # fmt: skip
        return
    if n_rest > 0:
        _gemm(
            letter[_T:].ctypes, letter[_N:].ctypes, sizes[0:].ctypes, sizes[3:].ctypes, sizes[1:].ctypes, factor[_MINUS:].ctypes,
            panel[n_own:].ctypes, sizes[2:].ctypes, rest.ctypes, sizes[1:].ctypes, factor[_ONE:].ctypes, own.ctypes, sizes[4:].ctypes,
        )  # fmt: skip
    _trsm(
        letter[_L:].ctypes, letter[_L:].ctypes, letter[_T:].ctypes, letter[_N:].ctypes, sizes[0:].ctypes, sizes[3:].ctypes,
        factor[_ONE:].ctypes, panel.ctypes, sizes[2:].ctypes, own.ctypes, sizes[4:].ctypes,
    )  # fmt: skip
