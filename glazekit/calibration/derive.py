"""Makes data/open_glass from the database: ``python -m glazekit.calibration.derive WHEEL_FOLDER OUTPUT_FOLDER``.

``WHEEL_FOLDER`` holds the unpacked wheel glasspy-0.3 (a wheel is a zip file). It takes a minute; tests run it on made-up glasses.
The steps stand in data/open_glass/README.md. It gives the files as they were before the flags.
"""

from __future__ import annotations

import gzip
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd

from glazekit.calibration.database import celsius, composition_key, read_database, viscosity_points
from glazekit.calibration.subsets import in_box
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.ground.errors import GlazekitError


@dataclass(frozen=True, slots=True)
class Column:
    """A property to take: its column in the database and here, factor to its unit, range [own unit], when two values are one."""

    theirs: str
    ours: str
    factor: float
    low: float
    high: float
    same: float


COLUMNS = (
    Column("CTE", "alpha", 1e6, 1.0, 20.0, 0.01),
    Column("Tg", "Tg_K", 1.0, 600.0, 1150.0, 3.0),
    Column("ElasticModulus", "E_GPa", 1.0, 45.0, 130.0, 0.5),
    Column("Tliquidus", "T_liquidus_K", 1.0, 700.0, 2000.0, 3.0),
)
SAME_GLASS_MOL_PCT = 0.05
"""Two glasses of one publication that agree so closely are one, with the middle value."""
REPRINTED_MOL_PCT = 0.1
"""Two glasses of two publications that agree so closely, in value too, are one measurement printed twice."""
POINTS_MOST = 5
TEMPS_C = (700.0, 1500.0)
LOG10 = (-0.5, 9.0)


def one_of_each(glasses: pd.DataFrame, column: Column) -> pd.Series:
    """The values of a property, one for each glass that was really measured; the index is that of the glass kept."""
    values = glasses[column.theirs] * column.factor
    told = glasses[values.between(column.low, column.high)]
    same = [told["publication"], composition_key(told, SAME_GLASS_MOL_PCT)]
    middle = values[told.index].groupby(same).transform("median")
    first = ~pd.DataFrame(dict(enumerate(same))).duplicated()
    told, middle = told[first], middle[first]
    by_year = told["year"].sort_values(kind="stable").index
    reprinted = pd.DataFrame({"glass": composition_key(told, REPRINTED_MOL_PCT), "value": (middle / column.same).round()})
    return middle[~reprinted.loc[by_year].duplicated().reindex(told.index)]


def points_of_each(glasses: pd.DataFrame, seed: int = 0) -> pd.DataFrame:
    """Viscosities without reprints, at most ``POINTS_MOST`` a glass, those of the firing range first."""
    points = viscosity_points(glasses)
    points["temp_c"] = celsius(points["temp_k"])
    points = points[points["temp_c"].between(*TEMPS_C) & points["log10_pa_s"].between(*LOG10)]
    of = glasses.loc[points["row"]]
    points = points.assign(glass=composition_key(of, REPRINTED_MOL_PCT).to_numpy(), year=of["year"].to_numpy())
    points = points.sort_values("year", kind="stable")
    same = pd.DataFrame({"glass": points["glass"], "temp": points["temp_c"].round(), "value": points["log10_pa_s"].round(2)})
    points = points[~same.duplicated()]
    fires = points["temp_c"].between(850, 1350) & points["log10_pa_s"].between(1, 7)
    drawn = np.random.default_rng(seed).random(len(points))
    points = points.assign(fires=fires, drawn=drawn).sort_values(["row", "fires", "drawn"], ascending=[True, False, True])
    return points[points.groupby("row").cumcount() < POINTS_MOST]


def derive(wheel: Path) -> dict[str, pd.DataFrame]:
    """Name of a file -> its table, before the flags."""
    glasses = read_database(wheel)
    glasses = glasses[in_box(glasses[list(MODEL_OXIDES)].to_numpy(), edge=1e-9)]
    values = {column.ours: one_of_each(glasses, column) for column in COLUMNS}
    points = points_of_each(glasses)
    liquidus = values.pop("T_liquidus_K")
    shipped = sorted(set(points["row"]).union(*(each.index for each in values.values())))
    kept = glasses.loc[shipped].sort_values("publication", kind="stable")
    table = written_shares(kept).assign(
        alpha=values["alpha"].round(2), Tg_C=celsius(values["Tg_K"]).round(), E_GPa=values["E_GPa"].round(1)
    )
    number = pd.Series(np.arange(1, len(kept) + 1), index=kept.index)
    table.insert(0, "gid", number)
    rounded = points["temp_c"].round().astype(int), points["log10_pa_s"].round(2)
    viscosity = pd.DataFrame({"gid": points["row"].map(number), "T_C": rounded[0], "log10_eta_Pas": rounded[1]})
    return {
        "glasses": table,
        "viscosity": viscosity.sort_values(["gid", "T_C"]),
        "liquidus": written_shares(glasses.loc[liquidus.index]).assign(T_liquidus_C=celsius(liquidus).round()),
    }


def written_shares(glasses: pd.DataFrame) -> pd.DataFrame:
    """``sciglass_ref``, ``first_author``, ``year`` and mol % to two decimals, 0 as blank."""
    table = glasses[["publication", "author", "year"]].set_axis(["sciglass_ref", "first_author", "year"], axis=1)
    mol_pct = (100 * glasses[list(MODEL_OXIDES)]).round(2)
    return pd.concat([table, mol_pct.where(mol_pct > 0)], axis=1)


def write(table: pd.DataFrame, path: Path) -> None:
    """Write a table, compressed, without a time stamp: the same table gives the same bytes."""
    text = table.to_csv(index=False, lineterminator="\n", float_format="%.10g").encode()
    with path.open("wb") as raw, gzip.GzipFile(filename="", mode="wb", fileobj=raw, mtime=0, compresslevel=9) as packed:
        packed.write(text)


def main(words: list[str]) -> int:
    """Run the command."""
    if len(words) != 2:
        print(__doc__, file=sys.stderr)
        return 2
    wheel, folder = map(Path, words)
    try:
        made = derive(wheel)
    except GlazekitError as problem:
        print(problem, file=sys.stderr)
        return 1
    folder.mkdir(parents=True, exist_ok=True)
    for name, table in made.items():
        write(table, folder / f"{name}.csv.gz")
        print(f"{name}: {len(table)} rows, {(folder / f'{name}.csv.gz').stat().st_size / 1000:.0f} kB")
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
