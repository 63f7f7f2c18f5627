"""The unity worksheet of lesson 5: a working table with wide boxes to fill by hand, and a small example worked out."""

from collections.abc import Mapping

from glazekit.chemistry.analysis import analyse
from glazekit.chemistry.unity import mol_per_mol
from glazekit.drawing.markup import Html, el
from glazekit.ground.numbers import show_number
from glazekit.ground.tables import read_table
from glazekit.materials.formula import molar_mass_g_mol, printed_formula
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.frame import Say, sheet_page
from glazekit.sheets.parts import grid, paragraphs, part, row, short, write_in

PRACTICE, EXAMPLE = "Practice glaze", "Small example"
"""The two recipes of data/worksheet_recipes.csv."""
TRACE_MOL = 0.005
"""Under this an oxide gets no column: it would read 0.00 [moles per mole of flux]."""
MOLE_DECIMALS, UNITY_DECIMALS = 4, 3
_TRAY_OF_ROLE = {"stabiliser": 1, "glass former": 2}
_SAY = Say("unity_sheet")


def worksheet_recipe(name: str) -> Recipe:
    """A recipe of data/worksheet_recipes.csv.

    >>> worksheet_recipe("Practice glaze").base_sum
    100.0
    """
    return Recipe(name, {line["material"]: line["amount"] for line in read_table("worksheet_recipes") if line["recipe"] == name})


@printed_as("unity worksheet", ("recipe", PRACTICE), own_recipes=(PRACTICE,))
def unity_worksheet_html(recipe: Recipe | None = None, *, stock: Stock | None = None) -> str:
    """The worksheet of a base, that of the practice glaze if none is given: boxes to fill, and a smaller glaze worked out below.
    Raises NoAnalysisError for a material declared unknown, RecipeError for a glaze without flux."""
    mine, example = recipe or worksheet_recipe(PRACTICE), worksheet_recipe(EXAMPLE)
    front, back = _Sheet(mine, stock, filled=False), _Sheet(example, None, filled=True)
    return sheet_page(
        _SAY,
        *front.parts(),
        part(_SAY("example_title"), *back.parts(), class_="example"),
        title=_SAY("title", recipe=mine.name),
        turned=True,
    )


class _Sheet:
    """One working table; ``filled`` writes the answers into its boxes."""

    def __init__(self, recipe: Recipe, stock: Stock | None, filled: bool) -> None:
        self.recipe, self.stock, self.filled = recipe.merged(), stock or course_stock(), filled
        found = analyse(self.recipe, stock=self.stock)
        self.unity, self.total_mol, self.flux_sum_mol = found.unity, dict(found.oxide_mol), found.flux_sum_mol
        self.raw_g: dict[str, float] = {}
        self.moles: dict[tuple[str, str], float] = {}
        for line in found.weighed:  # two names of one material make one row
            name = line.material.name
            self.raw_g[name] = self.raw_g.get(name, 0.0) + line.mass_g
            for step in line.oxides:
                self.moles[name, step.oxide] = self.moles.get((name, step.oxide), 0.0) + step.moles
        self.oxides = [oxide for oxide, moles in self.unity.pairs if moles >= TRACE_MOL]
        self.fluxes = [oxide for oxide in self.oxides if oxide in self.unity.fluxes]

    def parts(self) -> tuple[Html, ...]:
        """The steps in the order of the work."""
        steps = (el("li", line) for line in _SAY.all("steps"))
        names = " + ".join(printed_formula(oxide) for oxide in self.fluxes)
        flux_sum = write_in(f"{names} =", self._written(self.flux_sum_mol, MOLE_DECIMALS), _SAY("mol"))
        return (
            el("ol", *steps, class_="in-a-row"),
            self._table(),
            paragraphs(self._notes()),
            el("div", _tray(_SAY("flux_sum"), [flux_sum]), *self._trays(), self._ratios(), class_="trays"),
        )

    def _written(self, value: float, decimals: int) -> str:
        return show_number(value, decimals) if self.filled else ""

    def _notes(self) -> list[str]:
        """Whatever the table leaves out, said aloud."""
        left_out = {
            "traces": [OXIDES[oxide].name for oxide in self.unity.moles if oxide not in self.oxides],
            "additions": [line.material for line in self.recipe.additions],
            "liquids": [line.material for line in self.recipe.base if self.stock.find(line.material).liquid],
        }
        return [_SAY(key, names=", ".join(names)) for key, names in left_out.items() if names]

    def _table(self) -> Html:
        rows = [self._row(name, grams) for name, grams in self.raw_g.items()]
        totals = [
            self._sum_row(_SAY("together"), self.total_mol, MOLE_DECIMALS, "sums"),
            self._sum_row(_SAY("divided"), self.unity.moles, UNITY_DECIMALS, "grand"),
        ]
        return grid(_SAY("caption"), self._heads(), rows, totals, class_="working")

    def _heads(self) -> Html:
        firsts = (el("th", head, scope="col") for head in _SAY.all("columns"))
        lines = ((oxide, OXIDES[oxide].name, _SAY("flux_mark") if oxide in self.fluxes else "") for oxide in self.oxides)
        oxides = (
            el("th", printed_formula(oxide), *(el("span", word, class_="sub") for word in below), scope="col")
            for oxide, *below in lines
        )
        return el("thead", el("tr", *firsts, *oxides))

    def _row(self, name: str, grams: float) -> Html:
        material = self.stock.find(name)
        brought = dict(material.oxides)
        if material.formula:
            mass_g_mol, counts = molar_mass_g_mol(material.formula), mol_per_mol(material)
            sum_ = _SAY("by_formula", grams=short(grams, 3), mass=show_number(mass_g_mol, 2))
            moles = self._box("", grams / mass_g_mol)
            hints = {oxide: _SAY("times", count=short(count, 3)) for oxide, count in counts.items()}
        else:
            sum_, moles = _SAY("by_analysis"), _nothing()
            given = {"grams": short(grams, 3)}
            hints = {
                oxide: _SAY("share", **given, pct=short(pct, 3), mass=show_number(OXIDES[oxide].molar_mass_g_mol, 2))
                for oxide, pct in brought.items()
            }
        boxes = (
            self._box(hints[oxide], self.moles[name, oxide]) if oxide in hints and brought.get(oxide) else _nothing()
            for oxide in self.oxides
        )
        class_ = "" if material.formula else "by-analysis"
        return row(material.label, el("td", sum_, class_="sum"), moles, *boxes, class_=class_)

    def _box(self, hint: str, value: float, decimals: int = MOLE_DECIMALS) -> Html:
        """A box to write in, with the small sum it asks for; the example has the answer in it."""
        answer = el("span", show_number(value, decimals), class_="answer") if self.filled else ""
        return el("td", el("span", hint, class_="hint"), answer, class_="write")

    def _sum_row(self, title: str, moles: Mapping[str, float], decimals: int, class_: str) -> Html:
        boxes = (self._box("", moles[oxide], decimals) for oxide in self.oxides)
        return el("tr", el("th", title, colspan="3", scope="row"), *boxes, class_=class_)

    def _trays(self) -> list[Html]:
        """The formula in its trays: fluxes, stabiliser, glass formers, boron on a shelf of its own, and the rest."""
        members: list[list[str]] = [self.fluxes, [], [], [], []]
        for oxide in self.oxides:
            if oxide not in self.fluxes:
                members[3 if oxide == "B2O3" else _TRAY_OF_ROLE.get(OXIDES[oxide].role, 4)].append(oxide)
        trays: list[Html] = []
        for title, oxides in zip(_SAY.all("trays"), members, strict=True):
            lines = [write_in(printed_formula(oxide), self._written(self.unity[oxide], UNITY_DECIMALS)) for oxide in oxides]
            if oxides == self.fluxes:
                lines.append(write_in(_SAY("fluxes_make"), self._written(1, UNITY_DECIMALS)))
            if oxides == ["B2O3"]:  # under the glass former, so that the trays stand in one row and on one page
                trays[-1] = el("div", trays[-1], _tray(title, lines), class_="shelf-of-two")
            elif oxides:
                trays.append(_tray(title, lines))
        return trays

    def _ratios(self) -> Html:
        """The two numbers by which glazes are compared."""
        lines, ratio = [], self.unity.silica_to_alumina_mol
        if ratio:
            lines.append(write_in(_SAY("ratio"), self._written(ratio, 1)))
        lines.append(write_in(_SAY("alkali_share"), self._written(100 * self.unity.alkali_share, 0), "%"))
        return _tray(_SAY("ratios_title"), lines)


def _tray(title: str, lines: list[Html]) -> Html:
    return el("div", el("h2", title), *(el("p", line) for line in lines), class_="tray")


def _nothing() -> Html:
    return el("td", _SAY("nothing"), class_="none")
