"""How colours look to somebody who sees them otherwise, and how far two then are apart."""

import numpy as np

# G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, IEEE Trans. Visualization and Computer
# Graphics 15 (2009), table of matrices at full severity; on linear red, green, blue.
WAYS_OF_SEEING = {
    "all colours": np.eye(3),
    "no red": np.array([[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216],
                        [-0.003882, -0.048116, 1.051998]]),
    "no green": np.array([[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413],
                          [-0.011820, 0.042940, 0.968881]]),
    "no blue": np.array([[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602],
                         [0.004733, 0.691367, 0.303900]]),
    "no colour": np.full((3, 3), 1.0) * np.array([0.2126, 0.7152, 0.0722]),
}  # fmt: skip


def linear(colour: str) -> np.ndarray:
    """A “#rrggbb” colour as linear red, green, blue, 0…1 [(3,)]. Source: IEC 61966-2-1."""
    share = np.array([int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)])
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def lab(colour: np.ndarray) -> np.ndarray:
    """Linear red, green, blue as CIE L*a*b* against the white of sRGB [(3,)].

    Source: IEC 61966-2-1 (the matrix to XYZ), CIE 15 (L*a*b*).
    """
    to_xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722],
                       [0.0193, 0.1192, 0.9505]])  # fmt: skip
    x, y, z = (to_xyz @ colour) / (to_xyz @ np.ones(3))
    edge = 6 / 29
    fx, fy, fz = (v ** (1 / 3) if v > edge**3 else v / (3 * edge**2) + 4 / 29 for v in (x, y, z))
    return np.array([116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)])


def apart(one: str, other: str, seeing: str) -> float:
    """The distance of two colours to somebody who sees so: CIE 1976, in units of L*a*b*."""
    way = WAYS_OF_SEEING[seeing]
    seen = [lab(np.clip(way @ linear(each), 0, 1)) for each in (one, other)]
    return float(np.linalg.norm(seen[0] - seen[1]))
