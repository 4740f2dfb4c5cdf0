"""Which rating a fuse may have by its body's colour: a proposal, never more.

The colour of the light is that of a place somebody named as grey or white. Until then it is
estimated: of all lights, the one under which the fuses of the whole picture come nearest to
standard colours, with the panel's plastic as neutral as can be. How bright the light is, is always
estimated so. Ratings whose colours the picture cannot tell apart are proposed together, or not at
all.

Standard colours: those of the family in the project's table (JASO D 612, ISO 8820-3), with screen
values of our own: plastics differ from maker to maker, which is what the margins are for.
"""

from collections.abc import Mapping, Sequence
from itertools import product
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from fusemap import tables
from fusemap.photo.bodies import Body, bodies, straightened
from fusemap.photo.light import Colours, difference, lab, light
from fusemap.photo.places import Point

Place = tuple[int, int]
Palette = Mapping[float, Colours]
"""By rating [A] the linear light of its bodies, one row or more of three."""

FARTHEST: Final = 17.0
"""A body farther than this from every standard colour is none of them [CIE94]."""
MARGIN: Final = 5.0
"""By so much the next colour has to be farther, to propose one alone [CIE94]."""
PALE: Final = frozenset({5.0, 25.0})
PALE_MARGIN: Final = 12.0
"""Tan and clear are one colour in a warm light: while the light is only estimated, neither is
proposed alone where the other is not farther than this from it [CIE94]; ours."""
MOST_CANDIDATES: Final = 2
LEAST_LIT: Final = 4
"""With fewer fuses than this their colours say nothing of the light, and nothing is proposed."""

ENOUGH_LIT: Final = 40
"""Of more fuses than twice this only some are asked about the light."""


class Proposal(Struct, frozen=True):
    """Ratings [A] that a place may have by its colour, the likeliest first; or it looks empty."""

    ratings_a: tuple[float, ...] = ()
    empty: bool = False


TOLD_BY_COLOUR: Final = frozenset({"micro2", "micro3", "low_profile_mini", "mini", "regular"})
"""Blade fuses of which every rating has a colour in the table; these were tried on pictures.

Where one rating's colour is not known, a body might always be that one; of cartridges and ceramic
ones no picture was tried.
"""
SEEN_THROUGH: Final = (1.0, 0.7, 0.5, 0.35)
"""How much of a clear body is its own light: the panel's dark is seen through it."""
CLEAR: Final = "clear"


def standard_colours(family: str) -> Palette:
    """The linear light of a family's fuses by rating [A]; none where a colour does not tell.

    Rows of three; a clear body has several, as more or less of the panel is seen through it.

    >>> {rating: len(lights) for rating, lights in standard_colours("micro3").items()}
    {5.0: 1, 7.5: 1, 10.0: 1, 15.0: 1}
    """
    found: dict[float, Colours] = {}
    if family not in TOLD_BY_COLOUR:
        return found
    for rating in tables.fuse_family(family).ratings_a:
        colour = tables.fuse_colour(family, rating)
        if colour is not None:
            encoded = [int(colour.hex[at : at + 2], 16) / 255 for at in (1, 3, 5)]
            shares = SEEN_THROUGH if colour.name == CLEAR else (1.0,)
            found[rating] = np.outer(shares, light(np.array(encoded)))
    return found


def gains_of(neutral: Sequence[float]) -> Colours:
    """What each colour is multiplied by so that this one, encoded 0 to 1, is grey.

    Raises ValueError for one too dark to tell.

    >>> [float(round(each, 2)) for each in gains_of((0.5, 0.5, 0.5))]
    [1.0, 1.0, 1.0]
    """
    seen = light(np.array(neutral, dtype=float))
    if seen.min() < 0.01:
        raise ValueError("too dark to tell the colour of the light")
    return np.asarray(seen[1] / seen)


def propose(
    picture: NDArray[np.uint8],
    corners: Sequence[Point],
    size: tuple[int, int],
    families: Mapping[Place, str],
    neutral: Sequence[float] | None = None,
) -> dict[Place, Proposal]:
    """What each of the named places may hold, by the colours in a picture.

    `picture`: height × width × 3 bytes in sRGB; `corners` of its grid of `size` rows and columns;
    `families`: the fuse family of each place asked about; `neutral`: a grey or white of the
    picture, encoded 0 to 1.
    """
    found = bodies(straightened(picture, corners, *size))
    asked = {place: family for place, family in families.items() if place in found}
    seen = {place: found[place] for place in asked}
    palettes = {family: standard_colours(family) for family in set(asked.values())}
    lit = [at for at, body in seen.items() if body.light is not None and palettes[asked[at]]]
    if len(lit) < LEAST_LIT:
        # A printed lid, or one in the dark: nothing in it says what a fuse looks like.
        return {place: Proposal() for place in seen}
    gains = _light_of(seen, asked, palettes, None if neutral is None else gains_of(neutral))
    sure = neutral is not None
    return {
        place: _proposal(body, palettes[asked[place]], gains, sure=sure)
        for place, body in seen.items()
    }


def _proposal(body: Body, palette: Palette, gains: Colours, *, sure: bool) -> Proposal:
    dark = any(float(lab(each)[..., 0].max()) < 30 for each in palette.values())
    if body.empty:
        # A black fuse in a black panel looks like an empty place.
        return Proposal() if dark or not palette else Proposal(empty=True)
    if body.light is None or not palette:
        return Proposal()
    ratings, seen = list(palette), lab(body.light * gains)
    away = np.array([difference(seen, lab(each)).min() for each in palette.values()])
    order = away.argsort()
    if away[order[0]] > FARTHEST:
        return Proposal()
    first = ratings[order[0]]
    pale = PALE if first in PALE and not sure else frozenset()
    near = [
        int(at)
        for at in order
        if away[at] < away[order[0]] + (PALE_MARGIN if ratings[at] in pale else MARGIN)
    ]
    if len(near) > MOST_CANDIDATES:
        return Proposal()
    return Proposal(tuple(ratings[at] for at in near))


_TINTS: Final = np.linspace(-0.9, 0.9, 19)
_BRIGHTS: Final = np.linspace(-0.8, 1.6, 13)
_DOUBT: Final = 5.0
"""What a light that is coloured twice as strongly costs [CIE94 of a fuse]."""
_DIM: Final = 1.0
_MOST_COST: Final = 22.0
"""A body that is no fuse at all does not decide about the light."""


def _light_of(
    seen: Mapping[Place, Body],
    families: Mapping[Place, str],
    palettes: Mapping[str, Palette],
    known: Colours | None,
) -> Colours:
    """What each colour is to be multiplied by: three gains.

    Every light of a grid is tried: red and blue against green, and how bright it is.
    """
    lit = [(each.light, families[at]) for at, each in seen.items() if each.light is not None]
    lit = lit[:: max(1, len(lit) // ENOUGH_LIT)]
    base = np.ones(3) if known is None else known
    tints = list(product(_TINTS, _TINTS)) if known is None else [(0.0, 0.0)]
    tries = np.array([(r, b, bright) for (r, b), bright in product(tints, _BRIGHTS)])
    gains = np.stack((tries[:, 0], np.zeros(len(tries)), tries[:, 1]), axis=1) + tries[:, 2:]
    gains = base * 2.0**gains
    cost = np.zeros(len(tries))
    for family in sorted({family for _, family in lit}):
        body = np.array([each for each, of in lit if of == family])
        if palettes[family]:
            colours = np.concatenate(list(palettes[family].values()))
            away = difference(lab(gains[:, None, None] * body[:, None]), lab(colours))
            cost += np.minimum(away.min(axis=2), _MOST_COST).sum(axis=1)
    cost = cost / len(lit) + _DOUBT * (tries[:, 0] ** 2 + tries[:, 1] ** 2)
    cost += _DIM * (tries[:, 2] - 0.3) ** 2
    return np.asarray(gains[int(cost.argmin())])
