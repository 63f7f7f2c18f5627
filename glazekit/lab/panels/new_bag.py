"""New bag: the same name on another bag; what moves in each recipe, and the correction. The old analysis stays on record."""

from glazekit.chemistry.bag_change import Moved, NewBag, new_bag
from glazekit.chemistry.board import Board
from glazekit.drawing.markup import Html, el, join
from glazekit.folder.shelf import bags_at_hand, save_bag, save_bag_form
from glazekit.ground.errors import AnalysisError, RecipeError, name_key, nearest_name
from glazekit.ground.numbers import show_number, show_percent
from glazekit.lab.controls import choose, html, long_box, row, show, stack, tick
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.bag_boxes import BagBoxes, bags_pasted
from glazekit.lab.parts.formula_words import board_table, name_of, show_change, show_mol
from glazekit.lab.parts.kiln_words import cautions_of
from glazekit.lab.prose import columns, paragraphs
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDE_ORDER
from glazekit.materials.stock import course_stock, poison_named

COURSE = "the course"
SHOWS_MOL = 0.0005
"""A smaller change does not show in three decimals [moles per mole of flux]."""


class NewBagPanel(Panel):
    """An analysis in boxes, the older one beside it, and every recipe within reach under both."""

    name = "new bag"
    home = "08"
    first_powder = "kaolin"
    result: NewBag | None = None
    _of: tuple[Material, Material] | None = None

    def build(self) -> Children:
        """Boxes, pasted lines, files; the two analyses; the recipes; the correction of one of them."""
        words = self.words
        powders = sorted(material.name for material in course_stock() if material.oxides)
        self.boxes = BagBoxes(self, powders, self.first_powder)
        self.pasted = self.keep("pasted", long_box(words("pasted"), words("pasted_example"), rows=2))
        self.kept = choose(words("kept"), [])
        self.everywhere = tick(words("everywhere"), self.desk.own_bags)
        self.everywhere.observe(lambda _: self.do(self.count_everywhere), names="value")
        self.old = self.keep_choice("old", [(words("course"), COURSE)])
        self.both, self.summary, self.detail = (html() for _ in range(3))
        self.recipe = choose(words("recipe"), [])
        self.recipe.observe(self._changed, names="value")
        self.save_button = self.button(words("save"), self.save)
        self.correction = stack(row(self.recipe), self.detail, self.save_button)
        return (
            self.boxes.widget,
            stack(self.pasted, row(self.button(words("fill"), self.lay_pasted))),
            row(self.kept, self.button(words("lay"), self.lay_kept), self.button(words("form"), self.write_form)),
            self.everywhere,
            row(self.old),
            self.both,
            self.buttons(("look", self.look), ("keep", self.keep_bag), main=True),
            self.summary,
            self.correction,
        )

    def paint(self) -> None:
        """Compare the two analyses; show what was found about the recipes as long as it is of these two."""
        show(self.correction, False)
        if self.boxes.blank:
            self.both.value = self.summary.value = ""
            self.tell(self.words("blank"), "open")
            self.warn(())
            return
        bag = self.boxes.bag()
        old = self.older(bag)
        self.both.value = self._analyses(bag, old)
        found = self._found()
        self.summary.value = self._summary(found) if found else ""
        if found and found.moved:
            show(self.correction, True)
            self.detail.value = self._detail(self.moved)
        self._say(bag, old, found)

    def offer(self) -> None:
        """The bags of my-bags/, each by the name to show, and those of this powder to compare with."""
        bags, self.unread = bags_at_hand(self.desk.folder)
        self.bags = {bag.label if bag.lot else f"{bag.name}, {bag.analysed_on or self.words('no_lot')}": bag for bag in bags}
        self.offer_anew(self.kept, [*self.bags] or [(self.words("no_bags"), "")])
        name, stock = self.boxes.powder.value, course_stock()
        wanted = name_key(stock.find(name).name if name in stock else name)
        mine = [label for label, bag in self.bags.items() if name_key(bag.name) == wanted]
        self.offer_anew(self.old, [(self.words("course"), COURSE), *mine])

    def older(self, bag: Material) -> Material | None:
        """The analysis to compare with: the course's, or an earlier bag; None for a powder that is new here."""
        if self.old.value != COURSE:
            return self.bags[self.old.value]
        return course_stock().find(bag.name) if bag.name in course_stock() else None

    def lay_kept(self) -> None:
        """Write the chosen bag of my-bags/ into the boxes."""
        if not self.kept.value:
            raise AnalysisError(self.words("none_kept"))
        with self.one_refresh():
            self.boxes.lay(self.bags[self.kept.value])

    def lay_pasted(self) -> None:
        """Write the pasted line into the boxes."""
        if not self.pasted.value.strip():
            raise AnalysisError(self.words("nothing_pasted"))
        bags = bags_pasted(self.pasted.value)
        if len(bags) > 1:
            raise AnalysisError(self.words("one_at_a_time", count=len(bags)))
        with self.one_refresh():
            self.boxes.lay(bags[0])

    def keep_bag(self) -> None:
        """Save the bag into my-bags/, in a new file."""
        path = save_bag(self.desk.folder, self.boxes.bag())
        if self.everywhere.value:
            self.count_everywhere()
        self.refresh()
        said = self.words("bag_kept", file=f"my-bags/{path.name}")
        self.tell(said if self.everywhere.value else f"{said} {self.words('not_counted')}", "ok")

    def count_everywhere(self) -> None:
        """Let every page count with the bags of my-bags/, or with the course's analyses again, as the tick says."""
        self.desk.count_own_bags(self.everywhere.value)
        self.desk.refresh_others(self)
        own = dict.fromkeys(material.label for material in self.desk.stock if material.kind == "bag")
        if not self.everywhere.value:
            self.tell(self.words("counted_no_more"), "note")
        elif own:
            self.tell(self.words("counted", bags="; ".join(own)), "look")
        else:
            self.tell(self.words("nothing_to_count"), "note")

    def write_form(self) -> None:
        """Write an empty form into my-bags/, in a new file."""
        path = save_bag_form(self.desk.folder)
        self.tell(self.words("form_written", file=f"my-bags/{path.name}"), "ok")

    def look(self) -> None:
        """Go through all recipes within reach."""
        bag = self.boxes.bag()
        old = self.older(bag)
        if old is None:
            raise AnalysisError(self._strange(bag))
        recipes = [recipe.renamed(name) for name, recipe in self.take_recipes().items()]
        before = course_stock() if self.old.value == COURSE else course_stock().with_materials([old])
        self.result, self._of = new_bag(bag, recipes, stock=before), (bag, old)
        self.offer_anew(self.recipe, [moved.recipe.name for moved in self.result.moved])
        self.refresh()

    def _found(self) -> NewBag | None:
        """What going through the recipes found, as long as it is of the bag in the boxes and the one it is compared with."""
        bag = self.boxes.bag()
        return self.result if self._of == (bag, self.older(bag)) else None

    @property
    def moved(self) -> Moved:
        """The recipe whose correction is shown."""
        result = self._found()
        found = {moved.recipe.name: moved for moved in result.moved} if result else {}
        if self.recipe.value not in found:
            raise RecipeError(self.words("look_first"))
        return found[self.recipe.value]

    def save(self) -> None:
        """Save the corrected recipe as a new CSV file in my-recipes/."""
        moved, bag = self.moved, self.boxes.bag()
        name = self.words("saved_name", name=moved.recipe.name, bag=self._called(bag))
        self.save_recipe(moved.corrected.recipe.renamed(name))

    def _called(self, bag: Material) -> str:
        return bag.label if bag.lot else self.words("this_bag", material=bag.name)

    def _strange(self, bag: Material) -> str:
        known = () if poison_named(bag.name) else [material.name for material in course_stock()]
        hint = nearest_name(bag.name, known)
        said = self.words("strange", material=bag.name)
        return said + (" " + self.words("nearest", hint=hint) if hint else "")

    def _analyses(self, bag: Material, old: Material | None) -> Html:
        """Oxide by oxide the older analysis, this one and the change; dashes for a powder that is new here."""
        words, now, then = self.words, bag.oxide_wt_pct, old.oxide_wt_pct if old else {}
        loi, old_loi = bag.loi_wt_pct_raw, old.loi_wt_pct_raw if old else 0.0
        lines = [(name_of(oxide), then.get(oxide, 0.0), now.get(oxide, 0.0)) for oxide in OXIDE_ORDER if oxide in {**now, **then}]
        lines += [(words("loi"), old_loi, loi), (words("total"), sum(then.values()) + old_loi, sum(now.values()) + loi)]
        rows = (
            (name, show_percent(was, 2) if old else "–", show_percent(is_, 2), show_change(is_ - was) if old else "–")
            for name, was, is_ in lines
        )
        before = words("course_column") if self.old.value == COURSE else self.old.value
        heads = (words("oxide"), before, words("new_column"), words("change"))
        return board_table(Board(bag.label, heads, tuple(rows), sums=1))

    def _summary(self, found: NewBag) -> Html:
        words, lines = self.words, []
        for moved in found.moved:
            before, after = moved.unchanged.before.silica_to_alumina_mol, moved.unchanged.after.silica_to_alumina_mol
            ratio = f"{show_number(before or 0, 1)} → {show_number(after or 0, 1)}" if before and after else "–"
            name, number = el("th", moved.recipe.name, scope="row"), el("td", ratio, class_="gk-number")
            lines.append(el("tr", name, number, el("td", moved.words)))
        said = [words("loi_change", change=show_change(found.loi_change_pct, 2))] if abs(found.loi_change_pct) >= 0.005 else []
        if found.in_additions:
            said.append(words("in_additions", names=", ".join(found.in_additions)))
        if found.untouched:
            said.append(words("untouched", names=", ".join(found.untouched)))
        said += [f"{name}: {why}" for name, why in found.not_computed]
        heads = el("tr", *(el("th", head, scope="col") for head in self.texts("in_recipe", "ratio", "moves")))
        return join(el("table", heads, *lines, class_="gk-moves") if lines else "", paragraphs(*said))

    def _detail(self, moved: Moved) -> Html:
        before = {line.material: line.amount for line in moved.recipe.merged().base}
        changes = {name: (old, new) for name, old, new in moved.corrected.changes}
        parts = []
        for name in dict.fromkeys([*before, *changes]):
            old, new = changes.get(name, (before.get(name, 0.0),) * 2)
            parts.append((name, show_number(old, 2), show_number(new, 2), show_change(new - old)))
        old_u, same, new_u = moved.unchanged.before, moved.unchanged.after, moved.corrected.after
        oxides = [oxide for oxide in OXIDE_ORDER if max(u[oxide] for u in (old_u, same, new_u)) >= 0.0005]
        formula = [(name_of(oxide), *(show_mol(u[oxide]) for u in (old_u, same, new_u))) for oxide in oxides]
        left = Board(moved.recipe.name, self.texts("parts", "as_written", "corrected", "change"), tuple(parts))
        right = Board(moved.recipe.name, self.texts("oxide", "before", "same_amounts", "corrected"), tuple(formula))
        return columns(board_table(left), board_table(right)) + self._not_back(moved)

    def _not_back(self, moved: Moved) -> Html:
        """What the correction leaves open; why, and the ways out, folded up."""
        if not moved.why_not:
            return Html()
        left = {oxide: moles for oxide, moles in moved.corrected.unity_change.items() if abs(moles) >= SHOWS_MOL}
        off = [f"{name_of(oxide)} {show_change(moles, 3)}" for oxide, moles in left.items()]
        ways = [moved.why_not.sentence, *(self.words("way_out", way=way) for way in moved.why_not.reliefs)]
        first = self.words("not_back", oxides=", ".join(off)) if off else self.words("nearly_back")
        return paragraphs(first) + el("details", el("summary", self.words("why")), paragraphs(*ways))

    def _say(self, bag: Material, old: Material | None, found: NewBag | None) -> None:
        words = self.words
        total = sum(share for _, share in bag.oxides) + bag.loi_wt_pct_raw
        said = words("read", bag=self._called(bag), total=show_percent(total, 2))
        if old is None:
            self.tell(f"{said}\n{self._strange(bag)}", "look")
        elif found is None:
            self.tell(f"{said}\n{words('ready')}", "note")
        else:
            changes = [one.unchanged.unity_change.values() for one in found.moved]
            moved = sum(any(abs(moles) >= 0.005 for moles in change) for change in changes)  # what two decimals would show
            self.tell(f"{said}\n{words('looked', count=moved)} {words('test_first')}", "look" if moved else "ok")
        corrected = [self.moved.corrected.recipe] if found and found.moved else []
        self.warn(line for recipe in corrected for line in cautions_of(recipe, course_stock().with_materials([bag])))
