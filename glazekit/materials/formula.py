"""A strict reader of chemical formulas, and what a formula brings to a fired glaze."""

import re
from functools import cache, lru_cache

from glazekit.ground.errors import FormulaError
from glazekit.ground.tables import read_table

GASES = ("H", "C", "N", "S", "F", "Cl")
"""Elements counted as LOI: they leave in the kiln as steam, carbon dioxide and other gases (course convention)."""
COUNT_LIMITS = (1e-6, 10_000)
"""A count or factor outside is a slip of the pen."""
_SENSIBLE = (1e-30, 1e30)
_BRACKETS = {")": "(", "]": "["}
_ENDS_A_PART = ("O", "H", "F", "Cl", "S", ")", "]")
_SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")
_LOWERED = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
_TOKEN = re.compile(
    r"(?P<element>[A-Z][a-z]?)|(?P<number>[0-9]+(?:\.[0-9]+)?)|(?P<open>[(\[])|(?P<close>[)\]])|\s*(?P<dot>[.·•∙⋅])\s*"
)
_COUNT = re.compile(r"(?<=[A-Za-z)\]])\d+")
_FACTOR = re.compile(r"([\d.]*)(.*)")
_JOINT = re.compile(r"([A-Za-z)\]]\d*)\.")
_JOINED = re.compile(r"(?P<number>[1-9][0-9]*)(?=\.[0-9]+(?:\.[0-9]+)?[A-Z(\[])")


def atom_counts(formula: str) -> dict[str, float]:
    """Atoms in one formula unit.

    A formula is symbols with counts (``CaCO3``), round or square brackets (``CaMg(CO3)2``), decimals (``Na0.75K0.25AlSiO4``),
    parts joined by a dot, each with an optional factor in front (``CuSO4·5H2O``, ``K2O.Al2O3.6SiO2``).

    Returns element symbol -> number of atoms [-], in order of first appearance.
    Raises FormulaError, with a caret under the spot, for an empty formula, an unknown element, a stray character, an empty or
    unbalanced bracket, a number that belongs to nothing, or a count of zero.

    >>> atom_counts("Al2O3.2SiO2.2H2O")
    {'Al': 2.0, 'O': 9.0, 'Si': 2.0, 'H': 4.0}

    A point on the line is either a decimal point or a joining dot. After a whole count of 1 or more on an O, H, F, Cl, S or a
    bracket, and in front of a number that is followed by an element, it joins: ``Al2O3.4.5SiO2`` is Al2O3 and 4.5 SiO2.
    Straight after a letter it always joins. Everywhere else it is a decimal point: ``Na0.75K0.25AlSiO4``, ``O2.75``.
    Write the middle dot ``·`` where you want no rule to decide.
    """
    return dict(_read(formula))


def printed_formula(formula: str) -> str:
    """A formula as learners read it, on every screen and sheet: counts set low, parts joined by a dot. It is not checked here.

    >>> printed_formula("Al2O3"), printed_formula("K2O.Al2O3.6SiO2"), printed_formula("CaMg(CO3)2")
    ('Al₂O₃', 'K₂O · Al₂O₃ · 6 SiO₂', 'CaMg(CO₃)₂')
    >>> printed_formula("0.75Na2O.0.25K2O.1.1Al2O3.4.5SiO2")
    '0.75 Na₂O · 0.25 K₂O · 1.1 Al₂O₃ · 4.5 SiO₂'
    """
    parts = _JOINT.sub(r"\1 ", formula).split(" ")
    counted = [match.groups() for part in parts if (match := _FACTOR.fullmatch(part))]
    lowered = [(factor, _COUNT.sub(lambda found: found[0].translate(_LOWERED), rest)) for factor, rest in counted]
    return " · ".join(f"{factor} {rest}".strip() for factor, rest in lowered)


def molar_mass_g_mol(formula: str) -> float:
    """Molar mass of a formula, from the abridged atomic weights in data/atomic_weights.csv (CIAAW 2021) [g/mol].

    Raises FormulaError as ``atom_counts``.

    >>> round(molar_mass_g_mol("CaCO3"), 3)
    100.086
    """
    weights = _atomic_weights()
    return sum(count * weights[element] for element, count in _read(formula))


def oxide_wt_pct_raw_of(formula: str) -> tuple[dict[str, float], float]:
    """What 100 g of a pure substance brings to the glaze, and what leaves in the kiln.

    Each element that stays is counted as one oxide (iron as Fe2O3, manganese as MnO, the others as in data/oxides.csv), however
    the formula writes it: Fe3O4, FeO and Fe2O3 all become Fe2O3. Hydrogen, carbon, nitrogen, sulphur, fluorine, chlorine leave.

    Returns oxide -> weight percent of the raw substance [wt % raw] in display order, and the LOI [% of the raw mass].
    LOI = 100 - sum of oxides. It is negative where the substance takes up oxygen: black iron oxide gains 3.5 %.
    Raises FormulaError as ``atom_counts``, and for an element that neither leaves nor has an oxide in data/oxides.csv.

    >>> oxides, loi = oxide_wt_pct_raw_of("CaCO3")
    >>> round(oxides["CaO"], 2), round(loi, 2)
    (56.03, 43.97)
    """
    per_element = _oxide_of_element()
    mass_g_mol = molar_mass_g_mol(formula)
    found: dict[str, float] = {}
    for element, count in _read(formula):
        if element in per_element:
            oxide, oxide_g_per_mol_element = per_element[element]
            found[oxide] = 100 * count * oxide_g_per_mol_element / mass_g_mol
        elif element not in (*GASES, "O"):
            raise FormulaError(f"no glaze oxide is listed for the element '{element}'", formula, formula.index(element))
    ordered = {oxide: found[oxide] for oxide, _ in per_element.values() if oxide in found}
    loi_wt_pct = 100 - sum(ordered.values())
    return ordered, 0.0 if abs(loi_wt_pct) < 1e-9 else loi_wt_pct


@cache
def _atomic_weights() -> dict[str, float]:
    return {row["element"]: row["atomic_weight"] for row in read_table("atomic_weights")}


@cache
def _oxide_of_element() -> dict[str, tuple[str, float]]:
    """Element -> its oxide and the grams of oxide that one mole of the element makes, in display order."""
    table = {}
    for row in read_table("oxides"):
        if row["in_formulas"] == "yes":
            oxide, element = row["symbol"], row["element"]
            table[element] = (oxide, molar_mass_g_mol(oxide) / atom_counts(oxide)[element])
    return table


Token = tuple[str, str, int]
"""Kind, text and place in the formula."""


@lru_cache(maxsize=512)
def _read(formula: str) -> tuple[tuple[str, float], ...]:
    total: dict[str, float] = {}
    for place, part in _parts(formula):
        factor, rest = 1.0, part
        if part and part[0][0] == "number":
            factor, rest = _count(part[0], formula), part[1:]
        if not rest:
            what = f"the number {part[0][1]} belongs to nothing" if part else "nothing stands beside the dot"
            raise FormulaError(what if formula.strip() else "the formula is empty; write something like SiO2", formula, place)
        _add(total, _group(rest, formula), factor)
    if not all(_SENSIBLE[0] < count < _SENSIBLE[1] for count in total.values()):
        raise FormulaError("brackets within brackets multiply to a number that makes no sense", formula, 0)
    return tuple(total.items())


def _tokens(formula: str) -> list[Token]:
    text = formula.translate(_SUBSCRIPTS).rstrip()
    at = len(text) - len(text.lstrip())
    tokens: list[Token] = []
    while at < len(text):
        match = _TOKEN.match(text, at)
        if not match:
            raise FormulaError(_cannot_stand(text[at]), formula, at)
        kind = str(match.lastgroup)
        if kind == "number" and tokens and tokens[-1][1] in _ENDS_A_PART:
            match = _JOINED.match(text, at) or match
        if kind == "element" and match[0] not in _atomic_weights():
            raise FormulaError(f"unknown element '{match[0]}'", formula, at)
        tokens.append((kind, match[kind], match.start(kind)))
        at = match.end()
    return tokens


def _cannot_stand(character: str) -> str:
    if character.isspace():
        return "a blank cannot stand here; write a formula without blanks"
    advice = "; write decimals with a point" if character == "," else ""
    if character.islower():
        advice = "; the symbol of an element begins with a capital letter"
    return f"'{character}' cannot stand here{advice}"


def _parts(formula: str) -> list[tuple[int, list[Token]]]:
    """The pieces between joining dots, each with the place where it begins."""
    parts: list[tuple[int, list[Token]]] = [(0, [])]
    for token in _tokens(formula):
        if token[0] == "dot":
            parts.append((token[2], []))
        else:
            parts[-1][1].append(token)
    return [(part[0][2] if part else place, part) for place, part in parts]


def _group(tokens: list[Token], formula: str) -> dict[str, float]:
    """Atoms of one part: elements and brackets, each with its count."""
    levels: list[dict[str, float]] = [{}]
    opened: list[Token] = []
    waiting = list(reversed(tokens))
    while waiting:
        kind, text, place = token = waiting.pop()
        if kind == "number":
            raise FormulaError(f"the number {text} belongs to nothing", formula, place)
        if kind == "open":
            opened.append(token)
            levels.append({})
            continue
        unit = {text: 1.0}
        if kind == "close":
            if not opened or opened[-1][1] != _BRACKETS[text]:
                raise FormulaError(f"'{text}' closes no bracket", formula, place)
            unit, (_, _, start) = levels.pop(), opened.pop()
            if not unit:
                raise FormulaError("nothing stands inside the brackets", formula, start)
        count = _count(waiting.pop(), formula) if waiting and waiting[-1][0] == "number" else 1.0
        _add(levels[-1], unit, count)
    if opened:
        raise FormulaError(f"'{opened[-1][1]}' is not closed before the end of its part", formula, opened[-1][2])
    return levels[0]


def _count(token: Token, formula: str) -> float:
    _, text, place = token
    count = float(text)
    if not COUNT_LIMITS[0] <= count <= COUNT_LIMITS[1]:
        raise FormulaError(f"a count of {text[:12]} makes no sense", formula, place)
    return count


def _add(total: dict[str, float], group: dict[str, float], factor: float) -> None:
    for element, count in group.items():
        total[element] = total.get(element, 0.0) + count * factor
