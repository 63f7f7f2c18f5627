"""Fit gauge: how a change of powders moves the calculated expansion, beside a glaze that was fired and beside the clay."""

from dataclasses import replace
from typing import Any

from glazekit.drawing.fit_pictures import Range, SeenTile, Share, fit_scales, share_bars
from glazekit.drawing.markup import Html, el, join
from glazekit.glass.fit import fit_chance
from glazekit.glass.melt import viscosity
from glazekit.glass.properties import constant, constant_half_width
from glazekit.glass.sums import Contribution, expansion, expansion_contributions
from glazekit.ground.estimate import (
    Change,
    Estimate,
    say_against,
    say_chance,
    say_chance_against,
    say_change,
    say_estimate,
    say_squeeze,
)
from glazekit.ground.numbers import show_number
from glazekit.lab.controls import SliderWithBox, html, row, show, stack, tick
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.firing_plan import kept_plan
from glazekit.lab.parts.fit_tiles import FitTiles
from glazekit.lab.parts.formula_words import name_of
from glazekit.lab.parts.in_book import TileInBook
from glazekit.lab.parts.kiln_words import cautions_of
from glazekit.lab.parts.movable_glaze import MovableGlaze
from glazekit.lab.parts.reference_picker import CountingTick, Reference, ReferencePicker, seen_choice
from glazekit.lab.prose import paragraphs, small, strong
from glazekit.words.texts import part_words

STAND_IN = "Cracked Lamp"
"""Offered where no tile is fired yet: the glaze that is to be cured, so that a cure shows as a change."""
CURE = "talc"
BODY, BODY_HALF = (4.0, 10.0, 0.1), (0.0, 2.0, 0.1)
"""Lowest, highest, step of the sliders."""
NOTHING = Contribution("", 0.0, 0.0, 0.0)
"""Of an oxide that one of the two glazes does not hold."""
SHOWN_MOL_PCT = 0.05
"""An oxide with less than this in both glazes gets no bar; together they are the last row."""
GAUGE_WORDS = (
    *("change_head", "as_reference", "less", "more", "absolute_head", "axis", "clay", "glaze"),
    *("no_change", "no_number", "mark_tiles"),
)
"""Texts of the panel that stand on the gauge."""


class FitGauge(Panel):
    """A movable glaze beside its reference and its clay. Leads with the change; the absolute number is no verdict."""

    name = "fit gauge"
    home = "09"
    first_recipe = "Cracked Lamp"

    def build(self) -> Children:
        """The reference; the gauge beside the powders; the bars beside what it means; the clay and what was seen."""
        words = self.words
        self.glaze = MovableGlaze(self, self.first_recipe)
        self.glaze.more.value = CURE
        self.reference = ReferencePicker(self, STAND_IN)
        self.peak_c = kept_plan(self.desk).peak_c  # of the plan as the page opens; the line about the melt needs no more
        self.house = constant("class_body_expansion"), constant_half_width("class_body_expansion")
        self.clay = self.keep_slider("body", self.house[0], *BODY)
        self.clay_half = self.keep("body half", SliderWithBox(words("body_half"), self.house[1], *BODY_HALF))
        self.seen, self.counting = self.keep("seen", seen_choice()), CountingTick(self)
        self.tiles = FitTiles(self)
        self.note, self.wants_note = TileInBook(self, self.glaze.recipe), self.keep("wants note", tick(words("wants_tile")))
        self.gauge, self.bars = html(css_class="gk-grow gk-picture-first"), html(css_class="gk-sliders")
        self.meaning, powders = html(css_class="gk-grow"), html(el("h4", words("powders")))
        self.about_reference, self.about_body = html(css_class="gk-saved"), html(css_class="gk-saved")
        return (
            row(self.reference.widget),
            self.about_reference,
            row(stack(powders, self.glaze.widget, css_class="gk-sliders"), self.gauge, css_class="gk-top"),
            row(self.bars, self.meaning, css_class="gk-top"),
            html(el("h4", words("the_clay"))),
            self.clay.widget,
            self.clay_half.widget,
            self.about_body,
            row(self.seen, self.tiles.widget, self.counting.widget),
            row(self.wants_note),
            self.note.widget,
        )

    def paint(self) -> None:
        """Set the gauge, draw the bars, and say the change first."""
        self._reckon()
        alpha = self.alpha
        self.tell_bags(self.recipe.materials())
        self.about_reference.value = join(self.against.note)
        house = self.words("house", value=f"{self.house[0]:g}")
        self.about_body.value = join(house if self._unmeasured else self.words("own_body"))
        tiles = self.tiles.tiles()
        self.note.follow_book()
        show(self.note.widget, self.wants_note.value)
        for drawing in (self.gauge, self.bars):
            (drawing.remove_class if alpha.in_range else drawing.add_class)("gk-weak")
        self._draw_gauge([SeenTile(tile.value, tile.fate) for tile in tiles])
        self._draw_bars()
        self.meaning.value = self._meaning(self.tiles.said(tiles))
        self.tell(self._said(), "look" if alpha.value is None or not alpha.in_range else "note")
        self.warn([self.words("food"), *cautions_of(self.recipe, self.desk.stock)])

    @property
    def _unmeasured(self) -> bool:
        """Does the clay still stand where the course put it?"""
        return (self.clay.number, self.clay_half.number) == self.house

    def _reckon(self) -> None:
        """The glaze, what it is compared with, and what the models guess of it."""
        recipe, against = self.recipe, self.against = self.glaze.recipe(), self.reference.reference()
        fired = self.fired = against.counted(self.counting.choice)
        seen = (self.seen.value,) if self.seen.value else ()
        more: Any = {"include_additions": self.counting.choice, "stock": self.desk.stock, "seen": seen}
        self.alpha = expansion(recipe, fired, **more)
        self.chance = fit_chance(recipe, self.clay.number, self.clay_half.number, fired, **more)
        self.melt = viscosity(recipe, self.peak_c, fired, **more)

    def change_words(self) -> str:
        """The change against the reference in one sentence, or why there is none."""
        name, reference = self.recipe.name, self.against.name
        change = self.alpha.change
        if change is None:
            way = say_against(self.alpha, reference)
            return self.words("said_way", name=name, way=way) if way else self.words("said_none", name=name, reference=reference)
        if _is_same(change):
            return self.words("said_same", name=name, reference=reference)
        return self.words("said_change", name=name, change=say_change(replace(change, reference=reference)))

    def way_words(self) -> str:
        """Which way the change goes, or that the sum cannot tell; nothing without a change."""
        change = self.alpha.change
        if change is None or _is_same(change):
            return ""
        way = "unknown" if not change.direction_known else "pull" if change.value > 0 else "squeeze"
        return self.words(f"towards_{way}")

    def _said(self) -> str:
        said = [f"{self.change_words()} {self.way_words()}".strip()]
        if self.alpha.note:
            kind = "outside" if self.alpha.value is None else "mind" if self.alpha.in_range else "greyed"
            said.append(self.words(kind, why=self.alpha.note))
        return "\n".join([*said, self.words("verdict")])

    def _meaning(self, edges: str) -> Html:
        """Change large; then which way, number, chance and melt; the tiles of the book; the small print."""
        words, chance = self.words, replace(self.chance, note="", reference=self.against.recipe.name)
        lines = [self.way_words()]
        lines.append(words("said_number", estimate=say_estimate(replace(self.alpha, note="")), where=self._where(self.alpha)))
        lines.append(words("tension", chance=say_chance(chance)))
        if chance.squeeze_chance is not None:
            lines.append(words("squeezed", chance=say_squeeze(chance), limit=f"{constant('squeeze_much_1e6_per_k'):g}"))
        if chance.less_than_reference is not None and self.way_words():
            lines.append(words("likely_less", chance=say_chance_against(chance)))
        lines += [self._melt(), edges]
        return strong(self.change_words()) + paragraphs(*lines) + small(words("unit_help"))

    def _where(self, alpha: Estimate) -> str:
        """Does the clay lie inside the interval of the absolute number."""
        if alpha.low is None or alpha.high is None:
            return ""
        half, body = self.clay_half.number, self.clay.number
        key = "gap_above" if alpha.low > body + half else "gap_below" if alpha.high < body - half else "gap_inside"
        return self.words(key, body=show_number(body, 1))

    def _melt(self) -> str:
        change, name = self.melt.change, self.against.recipe.name
        if change is None:
            return self.words("melt_none", reference=name)
        known = change.direction_known and not _is_same(change)
        key = "melt_alike" if not known else "melt_stiffer" if change.value > 0 else "melt_runnier"
        return self.words(key, reference=name)

    def _draw_gauge(self, tiles: list[SeenTile]) -> None:
        alpha, change, words = self.alpha, self.alpha.change, self.words
        texts = {key: words(key) for key in GAUGE_WORDS} | part_words("looks").texts | {"reference": self._short(self.against)}
        texts["clay"] = words("clay_unmeasured" if self._unmeasured else "clay")
        clay = self.clay.number, self.clay_half.number
        body, half = (show_number(value, 1) for value in clay)
        absolute = words(
            "spoken_absolute", estimate=say_estimate(replace(alpha, note="")), clay=texts["clay"], body=body, half=half
        )
        spoken = self.change_words(), self.way_words(), absolute
        moved = Range(change.low, change.value, change.high, alpha.in_range) if change else None
        self.gauge.value = fit_scales(moved, _range(alpha), clay, tiles, words("gauge"), " ".join(filter(None, spoken)), texts)

    def _short(self, reference: Reference) -> str:
        """The reference in the few words that fit on the drawing."""
        return reference.name if reference.tile else self.words("short_stand_in", name=reference.recipe.name)

    def _draw_bars(self) -> None:
        """One bar an oxide, the largest first; outside the data none, because there the sum is no estimate."""
        words = self.words
        head = el("h4", words("shares"))
        if self.alpha.value is None:
            self.bars.value = head + paragraphs(words("share_none", why=self.alpha.note))
            return
        was = {one.oxide: one for one in expansion_contributions(self.fired)}
        counted = expansion_contributions(self.recipe, include_additions=self.counting.choice, stock=self.desk.stock)
        mine = {one.oxide: one for one in counted}
        shares, rest, rest_was = [], 0.0, 0.0
        for oxide in {**mine, **was}:
            now, then = mine.get(oxide, NOTHING), was.get(oxide, NOTHING)
            adds, added = now.contribution_1e6_per_k, then.contribution_1e6_per_k
            if max(now.mol_pct, then.mol_pct) < SHOWN_MOL_PCT:
                rest, rest_was = rest + adds, rest_was + added
                continue
            factor = max(now.factor_1e6_per_k, then.factor_1e6_per_k, key=abs)
            row = words("share_row", mol=show_number(now.mol_pct), factor=show_number(factor), adds=show_number(adds))
            shares.append(Share(name_of(oxide), row, adds, added))
        shares.sort(key=lambda share: -share.adds)
        if rest or rest_was:
            said = words("traces_none") if abs(rest) < 0.005 else show_number(rest)
            shares.append(Share(words("traces"), said, rest, rest_was))
        sum_ = words("share_sum", estimate=say_estimate(replace(self.alpha, note="")))
        under = sum_, words("was", reference=self._short(self.against))
        said = "; ".join(words("share", name=share.name, adds=show_number(share.adds)) for share in shares)
        self.bars.value = head + share_bars(shares, words("shares"), said, under)


def _range(estimate: Estimate) -> Range | None:
    """The numbers of an estimate for the drawing; None where it has none."""
    if estimate.value is None or estimate.low is None or estimate.high is None:
        return None
    return Range(estimate.low, estimate.value, estimate.high, estimate.in_range)


def _is_same(change: Change) -> bool:
    """One and the same glaze: its change has no width."""
    return change.low == change.high
