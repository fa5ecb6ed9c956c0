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

    on_screen = sys.stdout.isatty()

    def tick() -> None:
        while not done.wait(1.0 if on_screen else 15.0):
            line = f"compiling the body, once for this version: {time.monotonic() - started:.0f} s"
            print(f"\r{line}" if on_screen else line, end="" if on_screen else "\n", flush=True)

    ticker = threading.Thread(target=tick, daemon=True)
    ticker.start()
    load_kernel("numba")
    done.set()
    ticker.join()
    start = "\r" if on_screen else ""
    print(f"{start}compiling the body, once for this version: done in {time.monotonic() - started:.0f} s", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
