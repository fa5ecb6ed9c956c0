"""The same step compiled by the machine's C compiler: a yardstick for speed and a judge of the bits."""

import ctypes
import hashlib
import os
import shutil
import subprocess
from pathlib import Path

from drillyard.adapters.kernel.cache import cache_folder
from drillyard.core.numerics.assembler import Model
from drillyard.core.numerics.c_text import c_source
from drillyard.core.numerics.kernel import Array, Kernel, text_hash

C_FLAGS = ("-O3", "-march=native", "-ffp-contract=off", "-fPIC", "-shared", "-std=c11", "-lm")


def c_kernel(model: Model) -> Kernel | None:
    """The C kernel, or None where no C compiler is on the path."""
    compiler = shutil.which("gcc") or shutil.which("cc")
    if compiler is None:
        return None
    text = c_source(model.source())
    folder = cache_folder() / f"c_{hashlib.sha256(text.encode()).hexdigest()[:20]}"
    library = folder / "body_step.so"
    if not library.exists():
        folder.mkdir(parents=True, exist_ok=True)
        source = folder / f"body_step.{os.getpid()}.c"
        source.write_text(text)
        part = folder / f"body_step.{os.getpid()}.part"
        subprocess.run(
            [compiler, *C_FLAGS[:-1], str(source), "-o", str(part), C_FLAGS[-1]], check=True, capture_output=True
        )
        Path(part).replace(library)
    loaded = ctypes.CDLL(str(library))
    address, count = ctypes.c_void_p, ctypes.c_long
    loaded.advance.argtypes = [address, address, count, address, count, count]
    loaded.show.argtypes = [address, address, address]

    def advance(x: Array, p: Array, n_steps: int, waves: Array) -> None:
        rows, columns = waves.shape
        loaded.advance(x.ctypes.data, p.ctypes.data, n_steps, waves.ctypes.data, rows, columns)

    def show(x: Array, p: Array, out: Array) -> None:
        loaded.show(x.ctypes.data, p.ctypes.data, out.ctypes.data)

    return Kernel(layout=model.layout, text_hash=text_hash(model.source()), form="c", advance=advance, show=show)
