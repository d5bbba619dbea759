"""Threads for compiled code, which runs free of the interpreter's lock: two, kept for the life of the program."""

from concurrent.futures import ThreadPoolExecutor
from functools import cache

N_WORKERS = 2


@cache
def pool() -> ThreadPoolExecutor:
    """The threads; work handed to them must not wait for other work of theirs."""
    return ThreadPoolExecutor(N_WORKERS, thread_name_prefix="plate")
