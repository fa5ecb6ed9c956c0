"""Elementary functions of our own, so that the same input gives the same bits on every machine.

Only ``+ - * /``, comparisons, ``sqrt`` and ``floor`` (both exact in IEEE 754) and scaling by powers of two are used;
libm differs between machines and versions, these do not.  The assembler writes the same text as plain Python, numba
source and C.  Accuracy against libm is in ``tests/core/numerics``.

``sqrt``, ``floor``, ``times_power_of_two``, ``times_root_of_two``, ``mantissa`` and ``exponent`` are the intrinsics
that each language supplies; everything else here is ordinary text.
"""

import math

PI = 3.141592653589793
TWO_PI = 6.283185307179586
_32_OVER_LN2 = 46.16624130844683
_LN2_32_HIGH = 0.02166084938653512
_LN2_32_LOW = 5.9631716539705866e-12
_LN2_HIGH = 6.93147180369123816490e-01
_LN2_LOW = 1.90821492927058770002e-10
_PI_HIGH = 3.14159262180328369140625
_PI_LOW = 3.17865095470563921e-8

POWERS_OF_TWO = [math.ldexp(1.0, k) for k in range(-1074, 1024)]
"""2**-1074 ... 2**1023; index k + 1074."""


def _roots_of_two() -> list[float]:
    """2**(j/32) for j = 0..31: square roots and products of square roots, so that the bits do not depend on libm."""
    halves = [2.0]
    for _ in range(5):
        halves.append(math.sqrt(halves[-1]))
    _, half, quarter, eighth, sixteenth, thirty_second = halves
    roots = []
    for j in range(32):
        value = 1.0
        for bit, factor in ((16, half), (8, quarter), (4, eighth), (2, sixteenth), (1, thirty_second)):
            value = value * factor if j & bit else value
        roots.append(value)
    return roots


ROOTS_OF_TWO = _roots_of_two()


def sqrt(x: float) -> float:
    """Square root; 0 for x <= 0 (a rounding error below zero must not stop a patient)."""
    return math.sqrt(x) if x > 0.0 else 0.0


def floor(x: float) -> float:
    """Largest whole number not above x, as a float."""
    return float(math.floor(x))


def times_power_of_two(x: float, k: float) -> float:
    """x * 2**k for a whole k from -1074 to 1023."""
    return x * POWERS_OF_TWO[int(k) + 1074]


def times_root_of_two(x: float, j: float) -> float:
    """x * 2**(j / 32) for a whole j from 0 to 31."""
    return x * ROOTS_OF_TWO[int(j)]


def mantissa(x: float) -> float:
    """m in [0.5, 1) with x = m * 2**exponent(x), for x > 0."""
    return math.frexp(x)[0]


def exponent(x: float) -> float:
    """Whole number e with x = mantissa(x) * 2**e, for x > 0."""
    return float(math.frexp(x)[1])


def smaller(a: float, b: float) -> float:
    """The smaller of two numbers."""
    return a if a < b else b


def larger(a: float, b: float) -> float:
    """The larger of two numbers."""
    return a if a > b else b


def clamp(x: float, low: float, high: float) -> float:
    """x held between low and high."""
    return low if x < low else (high if x > high else x)


def exp(x: float) -> float:
    """e**x; 0 below -700, held at e**700 above 700.  Relative error below 4e-15 (test).

    x = (32 n + j) ln(2)/32 + r: a power of two, one of 32 tabled roots of two, and a short series for the rest; a long
    series alone would keep every step of the body waiting for it.
    """
    if x < -700.0:
        return 0.0
    x = 700.0 if x > 700.0 else x
    k = floor(x * _32_OVER_LN2 + 0.5)
    r = (x - k * _LN2_32_HIGH) - k * _LN2_32_LOW
    n = floor(k * 0.03125)
    # |r| <= ln(2)/64: the first term left out is below 3e-15 of the series' own size, which is at most 0.011
    square = r * r
    series = r + square * ((0.5 + r * (1.0 / 6.0)) + square * (1.0 / 24.0 + r * (1.0 / 120.0)))
    return times_power_of_two(times_root_of_two(1.0 + series, k - 32.0 * n), n)


def log(x: float) -> float:
    """Natural logarithm; -700 for x <= 1e-304.  Method of Ng 1988 (public text of many C libraries)."""
    if x <= 1e-304:
        return -700.0
    m = mantissa(x)
    e = exponent(x)
    if m < 0.7071067811865476:
        m = m * 2.0
        e = e - 1.0
    f = m - 1.0
    half_square = 0.5 * f * f
    s = f / (2.0 + f)
    z = s * s
    w = z * z
    odd = w * (3.999999999940941908e-01 + w * (2.222219843214978396e-01 + w * 1.531383769920937332e-01))
    even = z * (
        6.666666666666735130e-01
        + w * (2.857142874366239149e-01 + w * (1.818357216161805012e-01 + w * 1.479819860511658591e-01))
    )
    r = odd + even
    return e * _LN2_HIGH - ((half_square - (s * (half_square + r) + e * _LN2_LOW)) - f)


def pow_(a: float, b: float) -> float:
    """a**b for a > 0; 0 for a <= 0."""
    return exp(b * log(a)) if a > 0.0 else 0.0


def sin(x: float) -> float:
    """Sine, for |x| up to about 1e6."""
    k = floor(x / PI + 0.5)
    r = (x - k * _PI_HIGH) - k * _PI_LOW
    z = r * r
    s = 1.0 / 6227020800.0 - z * (1.0 / 1307674368000.0 - z * (1.0 / 355687428096000.0))
    s = 1.0 / 39916800.0 - z * s
    s = 1.0 / 362880.0 - z * s
    s = 1.0 / 5040.0 - z * s
    s = 1.0 / 120.0 - z * s
    s = 1.0 / 6.0 - z * s
    value = r - r * z * s
    return value if k - 2.0 * floor(0.5 * k) < 0.5 else -value


def cos(x: float) -> float:
    """Cosine, for |x| up to about 1e6."""
    return sin(x + 1.5707963267948966)


_NOISE_PRIME = 67108859.0


def remainder_of(a: float, b: float) -> float:
    """a - b * floor(a / b), in [0, b); exact for whole numbers below 2**53."""
    r = a - b * floor(a / b)
    if r < 0.0:
        r = r + b
    return r - b if r >= b else r


def noise_unit(seed: float, stream: float, step: float) -> float:
    """A number in [0, 1) that depends on (seed, stream, step) and on nothing else.

    All three are whole and not negative, seed and step below 2**31.  Whole numbers below 2**53 are exact in a float,
    so this hash (rounds of x -> x * (x + c) modulo the prime 2**26 - 5) has the same bits everywhere.
    """
    h = remainder_of(seed * 7919.0 + stream * 104729.0 + 12345.0, _NOISE_PRIME)
    h = remainder_of(h * (h + 7654321.0) + 1013904223.0, _NOISE_PRIME)
    h = remainder_of(h + step * 16807.0 + stream * 48271.0, _NOISE_PRIME)
    h = remainder_of(h * (h + 2147483.0) + 1664525.0, _NOISE_PRIME)
    h = remainder_of(h * (h + 60493.0) + step, _NOISE_PRIME)
    h = remainder_of(h * 48271.0 + 12820163.0, _NOISE_PRIME)
    h = remainder_of(h * (h + 19260817.0) + 5.0, _NOISE_PRIME)
    return h / _NOISE_PRIME
