"""Compile the body, with a progress line; run by set-up in a process of its own."""

import sys
import threading
import time

from drillyard.adapters.kernel.compiled import compiled_mark, is_compiled, load_kernel


def main() -> int:
    """Compile unless it is done already; print seconds gone meanwhile.  ``--where`` only tells the mark it leaves."""
    if "--where" in sys.argv[1:]:
        print(compiled_mark())
        return 0
    if is_compiled():
        print("body: compiled already")
        return 0
    done = threading.Event()
    started = time.monotonic()

    def tick() -> None:
        while not done.wait(1.0):
            print(
                f"\rcompiling the body, once for this version: {time.monotonic() - started:.0f} s", end="", flush=True
            )

    ticker = threading.Thread(target=tick, daemon=True)
    ticker.start()
    load_kernel("numba")
    done.set()
    ticker.join()
    print(f"\rcompiling the body, once for this version: done in {time.monotonic() - started:.0f} s")
    return 0


if __name__ == "__main__":
    sys.exit(main())
