"""Shopping bench: a formula is wanted; which powders, and how much of each? By hand, and reckoned."""

from glazekit.chemistry.base_limits import PLASTIC_CLAY_PCT
from glazekit.chemistry.formulate import STEP_PCT, Formulation, formulate, round_to
from glazekit.chemistry.unity import unity_formula
from glazekit.drawing.markup import Html
from glazekit.drawing.strokes import SIGNS
from glazekit.ground.errors import RecipeError
from glazekit.ground.numbers import parse_number, show_number, show_percent
from glazekit.lab.controls import html, row, show, stack, text_box, tick
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.formula_words import name_of, show_change, show_mol
from glazekit.lab.parts.shopping import HandShopping, ShareConditions
from glazekit.lab.parts.tick_lists import powder_ticks
from glazekit.lab.prose import columns, listed, paragraphs, strong, table
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.recipe import Recipe

WANTED = ("Li2O", "Na2O", "K2O", "Na2O+K2O", "MgO", "CaO", "SrO", "ZnO", "Al2O3", "B2O3", "SiO2")


class ShoppingBench(Panel):
    """Target boxes, allowed powders, the hand method step by step, and the recipe that comes nearest."""

    name = "shopping bench"
    home = "08"
    first_recipe = "Gangway Clear"

    def build(self) -> Children:
        """What is wanted, what may be used, by hand, reckoned."""
        words = self.words
        self.recipe = self.keep_recipe("recipe")
        start = words.texts["start"]
        self.wanted = {oxide: self.keep(f"wanted {oxide}", text_box(name_of(oxide), start.get(oxide, ""))) for oxide in WANTED}
        self.powders = self.keep("powders", powder_ticks(self.desk.stock, words.texts["start_powders"]))
        self.clay = self.keep("clay", tick(words("clay", pct=f"{PLASTIC_CLAY_PCT:g}")))
        self.conditions = ShareConditions(self)
        self.by_hand = HandShopping(self)
        self.way = self.keep_choice("way", [(words("first_way"), 0)], 0)
        self.shelf, self.found, self.ways_out, self.reckoned = html(), html(), html(), html()
        self.others, self.work_out, self.limits = map(self.keep_tick, ("others", "work_out", "limits"))
        worked_out = (self.reckoned, self.clay, self.limits, self.conditions.widget, self.way)
        self.worked_out = stack(*worked_out, self.found, self.ways_out, row(self.button(words("save"), self.save, main=True)))
        return (
            row(self.recipe, self.button(words("take"), self.take_formula)),
            self.strong("wanted"),
            row(*self.wanted.values(), css_class="gk-boxes"),
            row(self.shelf, self.others),
            self.powders.box,
            self.by_hand.widget,
            self.work_out,
            self.worked_out,
        )

    def paint(self) -> None:
        """Shop by hand as far as the learner has got; reckon; say what is left over."""
        target, powders = self.target(), self.powders.value
        self.shelf.value = paragraphs(self.words("shelf", powders=", ".join(powders)) if powders else "")
        show(self.powders.box, self.others.value)
        show(self.conditions.widget, self.limits.value)
        show(self.worked_out, self.work_out.value)
        if not powders:
            raise RecipeError(self.words("no_powders"))
        self.by_hand.paint(target, powders)
        self.conditions.paint(powders)
        clay = PLASTIC_CLAY_PCT if self.clay.value else None
        asked = {"stock": self.desk.stock, **self.conditions.asked(powders)}
        self.result = formulate(target, powders, min_plastic_clay_pct=clay, name=self.words("recipe_name"), **asked)
        self._offer_ways()
        self.shown = self.chosen()
        self.found.value = self._tables(self.shown)
        self.reckoned.value = strong(self.words("reckoned_exact" if self.shown.feasible else "reckoned"))
        why = self.result.why_not
        outs = [why.sentence, *(f"{self.words('way_out')} {way}" for way in why.reliefs)] if why else []
        self.ways_out.value = listed(outs)
        self.warn(c.text for c in cautions_for(self.shown.recipe, self.desk.stock, "weighing"))
        self.tell_bags(powders)
        self._say(self.result)

    def target(self) -> dict[str, float]:
        """What stands in the boxes [moles per mole of flux]; an empty box is none of it."""
        return {oxide: parse_number(box.value, name_of(oxide)) for oxide, box in self.wanted.items() if box.value.strip()}

    def chosen(self) -> Formulation:
        """The way that is chosen, not rounded, with notes of its own."""
        if not self.way.value:
            return self.result
        recipe = self.result.alternatives[self.way.value - 1]
        names = [line.material for line in recipe.base]
        return formulate(self.result.target, names, stock=self.desk.stock, name=recipe.name, **self.conditions.asked(names))

    def _offer_ways(self) -> None:
        """One entry for every recipe that makes the formula."""
        recipes = (self.result.recipe, *self.result.alternatives)
        offer = [(self.words("nth_way", number=i + 1, powders=_names(recipe)), i) for i, recipe in enumerate(recipes)]
        show(self.way, len(recipes) > 1)
        if tuple(offer) != self.way.options:
            with self.hold():
                self.way.options = tuple(offer)
                self.way.value = 0

    def _tables(self, found: Formulation) -> Html:
        """Powders and formula side by side; below, what rounding for the scale shifts. No difference is left out."""
        words = self.words
        rounded = round_to(found)
        weigh = {line.material: line.amount for line in rounded.recipe.base}
        shares = {line.material: line.amount for line in found.recipe.base}
        powders = [(m, show_percent(pct, 2), show_percent(weigh.get(m, 0.0), 1)) for m, pct in shares.items()]
        formula = [
            (name_of(oxide), show_mol(found.target[oxide]), show_mol(found.reached[oxide]), show_change(difference, 3))
            for oxide, difference in found.difference.items()
        ]
        oxide, shift = max(rounded.unity_change.items(), key=lambda pair: abs(pair[1]))
        rounding = words("rounding", step=f"{STEP_PCT:g}", oxide=name_of(oxide), change=show_number(abs(shift), 3))
        left, right = self.texts("powder", "share", "weigh"), self.texts("oxide", "asked", "reached", "left_over")
        return columns(table(left, powders), table(right, formula)) + paragraphs(
            *(f"{SIGNS['look']} {note}" for note in found.notes), rounding
        )

    def _say(self, found: Formulation) -> None:
        words = self.words
        if not self.work_out.value:
            work = self.by_hand.finished()
            if work and work.problems:
                self.tell(" ".join(work.problems), "stop")
            else:
                self.tell(words("bought_all" if work else "buy_on"), "ok" if work else "note")
            return
        if found.feasible:
            self.tell(words("can", powders=_names(self.shown.recipe), count=1 + len(found.alternatives)), "ok")
            return
        said = [words("cannot")]
        for key, moles in (("missing", found.missing), ("too_much", found.left_over)):
            if off := [f"{name_of(oxide)} {show_mol(mol)}" for oxide, mol in moles.items() if mol >= 0.002]:
                said.append(words(key, oxides=", ".join(off)))
        self.tell(" ".join(said), "stop")

    def take_formula(self) -> None:
        """Write the formula of the chosen recipe into the boxes."""
        formula = unity_formula(self.recipes[self.recipe.value], stock=self.desk.stock)
        strange = [name_of(oxide) for oxide in formula.fluxes if oxide not in WANTED]
        if strange:
            raise RecipeError(self.words("not_offered", oxides=", ".join(strange)))
        with self.one_refresh():
            for oxide, box in self.wanted.items():
                moles = formula.moles.get(oxide)
                box.value = show_number(moles, 3) if moles else ""

    def save(self) -> None:
        """Save the recipe as a new CSV file in my-recipes/, rounded to what can be weighed."""
        if not self.result.feasible:
            raise RecipeError(self.desk.frame("nothing_to_save"))
        self.save_recipe(round_to(self.shown).recipe)


def _names(recipe: Recipe) -> str:
    return ", ".join(line.material for line in recipe.base)
