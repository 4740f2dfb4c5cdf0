"""From the bytes of a picture to light and to colours as the eye tells them apart.

Arrays end in three colours. Encoded values are 0 to 1 in sRGB, light is linear, 0 to 1.

Sources: IEC 61966-2-1 (sRGB: transfer function, and the matrix to CIE XYZ); ISO/CIE 11664-4
(CIELAB) with the white of D65; CIE 116-1995 (difference of two colours, CIE94).
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

Colours = NDArray[np.float64]

_TO_XYZ: Final = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)
_WHITE: Final = _TO_XYZ.sum(axis=1)
LIGHTNESS_WEIGHT: Final = 2.0
"""The factor kL of CIE94: a difference of lightness counts half, since light falls unevenly."""


def light(encoded: Colours) -> Colours:
    """Linear light of sRGB values."""
    low = encoded <= 0.04045
    return np.where(low, encoded / 12.92, ((np.maximum(encoded, 0.0) + 0.055) / 1.055) ** 2.4)


def lab(linear: Colours) -> Colours:
    """CIELAB of linear light: L* 0 to 100, a* towards red, b* towards yellow.

    >>> [round(float(each), 1) for each in lab(np.array([1.0, 0.0, 0.0]))]
    [53.2, 80.1, 67.2]
    """
    xyz = linear @ _TO_XYZ.T / _WHITE
    edge = 6 / 29
    root = np.where(xyz > edge**3, np.cbrt(xyz), xyz / (3 * edge**2) + 4 / 29)
    x, y, z = root[..., 0], root[..., 1], root[..., 2]
    return np.stack((116 * y - 16, 500 * (x - y), 200 * (y - z)), axis=-1)


def difference(one: Colours, other: Colours) -> Colours:
    """How far colours are from those of a standard, `other`, both in CIELAB; they broadcast."""
    lightness = (one[..., 0] - other[..., 0]) / LIGHTNESS_WEIGHT
    chroma = np.hypot(other[..., 1], other[..., 2])
    deeper = np.hypot(one[..., 1], one[..., 2]) - chroma
    across = (one[..., 1] - other[..., 1]) ** 2 + (one[..., 2] - other[..., 2]) ** 2
    hue = np.maximum(across - deeper**2, 0.0)
    away: Colours = np.sqrt(
        lightness**2 + (deeper / (1 + 0.045 * chroma)) ** 2 + hue / (1 + 0.015 * chroma) ** 2
    )
    return away
