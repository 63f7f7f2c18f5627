"""Tables a teacher could put on a board: raw and fired, who brings what, two glazes side by side; plain rows of text."""

from dataclasses import dataclass

from glazekit.chemistry.analysis import analyse
from glazekit.chemistry.unity import mol_per_mol, moles_in
from glazekit.ground.errors import RangeError
from glazekit.ground.numbers import show_number
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.oxides import OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock
from glazekit.recipe.recipe import Recipe

MOLES, PERCENT = "moles", "percent"
NONE = "-"
"""Stands in a cell where a material brings nothing."""


@dataclass(frozen=True, slots=True)
class Board:
    """A table ready to be read, as text, as HTML or in a panel; of its last rows ``sums`` are sums, with a line above them.

    >>> print(Board("Lime", ("material", "grams"), (("whiting", "20.0"), ("all", "20.0")), sums=1))
    Lime
    material  grams
    ---------------
    whiting    20.0
    ---------------
    all        20.0
    """

    title: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    sums: int = 0
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row) != len(self.headings):
                raise RangeError(f"{self.title}: a row has {len(row)} cells for {len(self.headings)} headings")

    def __str__(self) -> str:
        """For the terminal: names to the left, numbers to the right."""
        table = [self.headings, *self.rows]
        name_width, *widths = [max(len(row[column]) for row in table) for column in range(len(self.headings))]
        lines = []
        for name, *numbers in table:
            cells = [number.rjust(width) for number, width in zip(numbers, widths, strict=True)]
            lines.append("  ".join([name.ljust(name_width), *cells]).rstrip())
        rule = "-" * (name_width + sum(widths) + 2 * len(widths))
        lines.insert(1, rule)
        if self.sums:
            lines.insert(len(lines) - self.sums, rule)
        return "\n".join([self.title, *lines, *self.notes])


def raw_to_fired(recipe: Recipe, *, include_additions: bool = False, stock: Stock | None = None) -> Board:
    """What of each material stays in the glaze, and what leaves as gas and water; amounts are taken as grams.

    >>> print(raw_to_fired(Recipe("lime and clay", {"whiting": 20, "kaolin": 20})))
    lime and clay: raw and fired
    material  weighed [g]  leaves [g]  stays [g]  leaves [%]
    --------------------------------------------------------
    whiting         20.00        8.79      11.21        44.0
    kaolin          20.00        2.79      17.21        14.0
    --------------------------------------------------------
    all             40.00       11.59      28.41        29.0

    Raises as ``analyse``.
    """
    found = analyse(recipe, include_additions=include_additions, stock=stock)
    lines = [(line.material.label, line.mass_g, line.loi_g, line.fired_g) for line in found.weighed if line.mass_g]
    rows = [
        (name, *map(show_number, (raw_g, loi_g, fired_g)), _cell(100 * loi_g / raw_g if raw_g else None, 1))
        for name, raw_g, loi_g, fired_g in (*lines, ("all", found.raw_g, found.loi_g, found.fired_g))
    ]
    notes = found.notes
    if abs(found.unreported_g) >= 0.005:
        notes = (*notes, f"{show_number(found.unreported_g)} g are not explained: the figures of a bag rarely total 100.")
    headings = ("material", "weighed [g]", "leaves [g]", "stays [g]", "leaves [%]")
    return Board(f"{recipe.name}: raw and fired", headings, tuple(rows), sums=1, notes=notes)


def mineral_board(recipe: Recipe, *, include_additions: bool = False, stock: Stock | None = None) -> Board:
    """From grams to moles as on paper, with the sum of all fluxes in the last row.

    By the mineral's formula, where there is one: moles = mass / mass of one mole of it x times its formula holds the oxide.
    By the analysis, where there is none: moles = mass x wt % / 100 / molar mass of the oxide.

    >>> print(mineral_board(Recipe("lime and clay", {"whiting": 20, "kaolin": 20})))
    lime and clay: grams to moles
    material         grams  g per mol  mol of it  times  oxide     mol
    ------------------------------------------------------------------
    whiting          20.00     100.09     0.1998      1    CaO  0.1998
    kaolin           20.00     258.16     0.0775      1  Al2O3  0.0775
    kaolin           20.00     258.16     0.0775      2   SiO2  0.1549
    ------------------------------------------------------------------
    fluxes together                                             0.1998

    Raises as ``analyse``.
    """
    found = analyse(recipe, include_additions=include_additions, stock=stock)
    rows, by_analysis = [], False
    for step in found.working:
        material = step.material
        if material.kind == "theoretical":
            mass_g_mol = molar_mass_g_mol(material.formula)
            mineral_mol = show_number(step.mass_g / mass_g_mol, 4)
            how = (show_number(mass_g_mol), mineral_mol, f"{mol_per_mol(material)[step.oxide]:.4g}")
        else:
            by_analysis = True
            how = (show_number(step.molar_mass_g_mol), "", f"{step.oxide_wt_pct_raw:g} %")
        rows.append((material.name, show_number(step.mass_g), *how, step.oxide, show_number(step.moles, 4)))
    rows.append(("fluxes together", "", "", "", "", "", show_number(found.flux_sum_mol, 4)))
    headings = ("material", "grams", "g per mol", "mol of it", "times", "oxide", "mol")
    notes = ("Rows with a % go by the analysis: grams times that %, over the molar mass of the oxide.",) if by_analysis else ()
    return Board(f"{recipe.name}: grams to moles", headings, tuple(rows), sums=1, notes=notes)


def who_brings_what(recipe: Recipe, shown: str = MOLES, *, include_additions: bool = False, stock: Stock | None = None) -> Board:
    """Which material brings which oxide: moles, or percent of all there is of that oxide.

    Parameters: shown, "moles" (with the sums and the unity formula below) or "percent".

    >>> print(who_brings_what(Recipe("lime and clay", {"whiting": 20, "kaolin": 20}), "percent"))
    lime and clay: who brings what [% of each oxide]
    material  CaO  Al2O3  SiO2
    --------------------------
    whiting   100      -     -
    kaolin      -    100   100

    Raises RangeError for another word, else as ``unity_formula``.
    """
    if shown not in (MOLES, PERCENT):
        raise RangeError(f"'{shown}' cannot be shown; choose {MOLES} or {PERCENT}")
    found = analyse(recipe, include_additions=include_additions, stock=stock)
    names = dict.fromkeys(line.material.name for line in found.weighed if line.material.oxides)
    brought = [(name, moles_in(line for line in found.weighed if line.material.name == name)) for name in names]
    total = dict(found.oxide_mol)
    oxides = list(total)
    headings = ("material", *oxides)
    if shown == PERCENT:
        rows = [
            (name, *(_cell(100 * own.get(oxide, 0.0) / total[oxide] or None, 0) for oxide in oxides)) for name, own in brought
        ]
        return Board(f"{recipe.name}: who brings what [% of each oxide]", headings, tuple(rows))
    rows = [(name, *(_cell(own.get(oxide) or None, 4) for oxide in oxides)) for name, own in brought]
    rows += [
        ("all", *(show_number(total[oxide], 4) for oxide in oxides)),
        ("unity formula", *(show_number(found.unity[o], 3) for o in oxides)),
    ]
    return Board(f"{recipe.name}: who brings what [mol]", headings, tuple(rows), sums=2)


def two_glazes(first: Recipe, second: Recipe, *, include_additions: bool = False, stock: Stock | None = None) -> Board:
    """Two glazes side by side: unity formula, silica to alumina, alkali share, loss on ignition, and second minus first.

    >>> lime = Recipe("lime", {"whiting": 40, "kaolin": 60})
    >>> print(two_glazes(lime, Recipe("lime and quartz", {"whiting": 40, "kaolin": 60, "quartz": 20})))
    lime and lime and quartz side by side
                                    lime  lime and quartz  difference
    -----------------------------------------------------------------
    lime CaO                        1.00             1.00        0.00
    alumina Al2O3                   0.58             0.58        0.00
    silica SiO2                     1.16             2.00       +0.83
    -----------------------------------------------------------------
    silica to alumina               2.00             3.43       +1.43
    alkali share of the fluxes [%]   0.0              0.0         0.0
    loss on ignition [% of raw]     26.0             21.6        -4.3
    Differences are worked out before rounding.

    Raises as ``analyse``.
    """
    one, two = (analyse(recipe, include_additions=include_additions, stock=stock) for recipe in (first, second))
    a, b = one.unity, two.unity
    rows = [(f"{OXIDES[o].name} {o}", *_pair(a[o], b[o])) for o in OXIDE_ORDER if a[o] or b[o]]
    rows += [
        ("silica to alumina", *_pair(a.silica_to_alumina_mol, b.silica_to_alumina_mol)),
        ("alkali share of the fluxes [%]", *_pair(100 * a.alkali_share, 100 * b.alkali_share, 1)),
        ("loss on ignition [% of raw]", *_pair(one.loi_wt_pct_raw, two.loi_wt_pct_raw, 1)),
    ]
    title = f"{first.name} and {second.name} side by side"
    notes = (*one.notes, *two.notes, "Differences are worked out before rounding.")
    return Board(title, ("", first.name, second.name, "difference"), tuple(rows), sums=3, notes=tuple(dict.fromkeys(notes)))


def _pair(first: float | None, second: float | None, decimals: int = 2) -> tuple[str, str, str]:
    change = None if first is None or second is None else second - first
    shown = _cell(change, decimals)
    more = change is not None and change > 0 and shown.strip("0.")
    return _cell(first, decimals), _cell(second, decimals), f"+{shown}" if more else shown


def _cell(value: float | None, decimals: int) -> str:
    return NONE if value is None else show_number(value, decimals)
