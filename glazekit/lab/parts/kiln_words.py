"""What a powder does in the kiln, in a few words; and the safety lines that its own nature calls for."""

from glazekit.ground.numbers import show_g, show_percent
from glazekit.materials.formula import atom_counts
from glazekit.materials.material import Material
from glazekit.materials.stock import Stock
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.recipe import Recipe
from glazekit.words.texts import part_words

DIVISION_G = 0.01
"""Weights that go into a kiln or come out are shown to this step, so that the sums of the exercises can be followed."""
NO_LOSS_PCT = 0.005
"""A loss smaller than this is none [% of the raw dry mass]."""
_GASES = {"C": "carbon_dioxide", "H": "steam", "N": "nitrous", "F": "fluorine", "S": "sulphur", "Cl": "salt_vapour"}


def leaves_as(material: Material) -> str:
    """What leaves a powder that loses weight, such as "carbon dioxide and steam"; read from the formula where there is one."""
    words = part_words("kiln_words")
    if material.kind == "no oxides":
        return words("burns")
    if not material.formula:
        return words("clay_loss" if material.plastic_clay else "unknown_gas")
    atoms = atom_counts(material.formula)
    gases = [words(key) for element, key in _GASES.items() if atoms.get(element)]
    return f" {words('and')} ".join(gases or [words("oxygen")])


def loss_words(material: Material, leaves_g: float, division_g: float) -> str:
    """What becomes of the weight: "leaves 8.79 g as carbon dioxide", "takes up 0.69 g of oxygen", "loses nothing"."""
    words = part_words("kiln_words")
    if abs(material.loi_wt_pct_raw) < NO_LOSS_PCT:
        return words("nothing")
    if leaves_g < 0:
        return words("takes_up", mass=show_g(-leaves_g, division_g))
    return words("leaves", mass=show_g(leaves_g, division_g), gas=leaves_as(material))


def show_loss(loss_pct: float) -> str:
    """A loss on ignition; below zero where the powder grows heavier.

    >>> show_loss(43.97), show_loss(-3.455)
    ('43.97 %', '−3.46 %')
    """
    return show_percent(loss_pct, 2).replace("-", "−")


def cautions_of(recipe: Recipe, stock: Stock | None = None) -> list[str]:
    """The safety lines for weighing and firing that the materials themselves call for, the loudest first. The lines that hold for
    every powder stand where powder is weighed, on the batch bench and on the sheets."""
    lines = cautions_for(recipe, stock, "weighing") + cautions_for(recipe, stock, "firing")
    own = [line for line in lines if line.materials]
    return [line.text for line in sorted(own, key=lambda line: line.level != "stop")]
