"""Unity bench, driven by its values. Expected numbers are the course's own, worked out by hand there."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from html import unescape

import pytest
from saying import says

from glazekit.lab.page import Page
from glazekit.lab.panels.unity_bench import UnityBench
from glazekit.lab.parts.formula_words import name_of

Reopen = Callable[[str], Page]

TALC = "talc +10.0 g"


@pytest.fixture
def bench(reopen: Reopen) -> UnityBench:
    return reopen("05").panel("unity bench")  # type: ignore[return-value]


def cells(html: str) -> dict[str, list[str]]:
    """Row name -> its numbers, of every table in a text."""
    rows = re.findall(r'<tr[^>]*><th scope="row">(.*?)</th>(.*?)</tr>', html)
    return {unescape(name): re.findall(r"<td[^>]*>(.*?)</td>", rest) for name, rest in rows}


def drawn(svg: str, name: str) -> list[list[tuple[float, float]]]:
    """The corners of every path of a class."""
    nodes = [node for node in ET.fromstring(svg).iter() if node.get("class") == name]
    return [[tuple(map(float, pair.split())) for pair in node.get("d", "").strip("MZ").split("L")] for node in nodes]  # type: ignore[misc]


class TestUnityBench:
    def test_the_practice_glaze_of_lesson_5(self, bench: UnityBench) -> None:
        """COURSE 5.1 to 5.4: 0.2717 moles of flux, silica 3.55, alumina 0.478, 7.4 to 1."""
        assert cells(bench.formula.value)["silica SiO₂"] == ["3.55"] and cells(bench.formula.value)["alumina Al₂O₃"] == ["0.48"]
        assert says(bench, "sum", bench.formula, sum="1.00") and says(bench, "ratio", ratio="7.4")
        bench.wants_working.value = True
        assert "0.2717" in cells(bench.working.value)["fluxes together"]

    def test_a_double_batch_changes_nothing_but_its_weight(self, bench: UnityBench) -> None:
        """COURSE 5.6, by boxes: half of everything."""
        before = bench.formula.value
        for name, half in {"potash feldspar": "20 g", "whiting": "10", "kaolin": "7,5", "quartz": "12.5"}.items():
            bench.glaze.sliders[name].value = half
        assert bench.formula.value == before and says(bench, "total", mass="50.0 g")

    def test_boron_lies_on_its_own_shelf(self, bench: UnityBench) -> None:
        """COURSE 5.5: Handrail Clear 0.52, and the fluxes still total 1 without it."""
        bench.glaze.choice.value = "Handrail Clear"
        assert cells(bench.formula.value)[name_of("B2O3")] == ["0.52"] and says(bench, "sum", bench.formula, sum="1.00")
        assert says(bench, "boron_too", moles="0.52")
        assert len(drawn(bench.picture.value, "shelf")) == 1

    def test_additions_count_only_when_switched_on(self, bench: UnityBench) -> None:
        """COURSE section 1, notes: Bulkhead Liner with its zircon has ZrO2 0.17."""
        bench.glaze.choice.value = "Bulkhead Liner"
        assert "zirconia ZrO₂" not in cells(bench.formula.value)
        bench.view.value = True
        assert cells(bench.formula.value)["zirconia ZrO₂"] == ["0.17"]

    def test_tray_heights_are_moles(self, bench: UnityBench) -> None:
        nodes = [n for n in ET.fromstring(bench.picture.value).iter() if n.get("class") == "oxide"]
        heights = [float(node.get("height", "nan")) for node in nodes]  # potash, lime, alumina, silica
        assert heights[3] / heights[2] == pytest.approx(7.41, abs=0.02) and heights[0] + heights[1] == pytest.approx(
            heights[3] / 3.55, rel=0.01
        )

    def test_two_glazes_side_by_side(self, bench: UnityBench) -> None:
        bench.beside.value = "Turnstile Matte"
        rows = cells(bench.both.value)
        ratio = rows["silica to alumina"]
        assert ratio[0] == "7.41" and round(float(ratio[1]), 1) == 5.1
        assert rows["silica SiO₂"][:2] == ["3.55", "2.04"] and rows["silica SiO₂"][2] in ("−1.50", "−1.51")

    def test_a_powder_can_be_added_and_the_card_brought_back(self, bench: UnityBench) -> None:
        bench.glaze.more.value = "talc"
        bench.glaze.add()
        bench.glaze.sliders["talc"].value = "10"
        assert "magnesia MgO" in cells(bench.formula.value) and says(bench, "moved", changes=TALC)
        bench.glaze.back_to_the_card()
        assert "talc" not in bench.glaze.sliders and says(bench, "as_card")

    def test_a_number_that_is_none_is_told_and_dims(self, bench: UnityBench) -> None:
        bench.glaze.sliders["kaolin"].value = "some"
        assert "'some'" in bench.said and "gk-stale" in bench.box._dom_classes
        bench.glaze.sliders["kaolin"].value = "15"
        assert "gk-stale" not in bench.box._dom_classes

    def test_nothing_at_all_is_no_glaze(self, bench: UnityBench) -> None:
        for slider in bench.glaze.sliders.values():
            slider.value = "0"
        assert says(bench, "parts.movable_glaze.all_empty")

    def test_each_glaze_keeps_its_sliders_over_night(self, reopen: Reopen) -> None:
        first: UnityBench = reopen("05").panel("unity bench")  # type: ignore[assignment]
        first.glaze.sliders["kaolin"].value = "20"
        first.glaze.choice.value = "Gangway Clear"
        first.glaze.sliders["whiting"].value = "24"
        again: UnityBench = reopen("05").panel("unity bench")  # type: ignore[assignment]
        assert again.glaze.choice.value == "Gangway Clear" and again.glaze.sliders["whiting"].value == "24"
        again.glaze.choice.value = "Practice glaze"
        assert again.glaze.sliders["kaolin"].value == "20"


def test_the_flux_mixer_warns_of_what_it_puts_into_the_recipe(reopen: Callable[[str], Page]) -> None:
    mixer = reopen("07").panel("flux mixer", recipe="Gangway Clear")
    assert "zinc" not in mixer.caution.value
    shares = dict.fromkeys(mixer.mix.value["shares"], 0.0) | {"Na2O": 0.2, "CaO": 0.6, "ZnO": 0.2}
    mixer.mix.value = {"shares": shares, "locked": []}
    assert "zinc oxide:" in mixer.caution.value and "oxidation" in mixer.caution.value
