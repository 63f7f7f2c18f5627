"""Makes data/open_glass from the database: ``python -m glazekit.calibration.derive WHEEL_FOLDER OUTPUT_FOLDER``.

``WHEEL_FOLDER`` holds the unpacked wheel glasspy-0.3 (a wheel is a zip file): compositions and properties of 214,043 glasses.
Only the data files are read (ODbL); none of that package's code is used. It takes a minute; tests run it on made-up glasses.
The steps stand in data/open_glass/README.md. It gives the files as they were before the flags.
"""

import gzip
import sys
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pandas as pd

from glazekit.calibration.measurements import in_box
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.ground.errors import FileError, GlazekitError
from glazekit.ground.numbers import KELVIN

FILES = "glasspy/data/datafiles"
LEAST_NAMED = 0.99
MOST_LEAD = 0.001
ISOKOMS = range(13)
"""Column T3 holds the temperature at which log10(viscosity / Pa.s) is 3 [K]."""
TEMPS_K = (773, 873, 973, 1073, 1173, 1273, 1373, 1473, 1573, 1673, 1773, 1873, 2073)
"""Column ViscosityAt1273K holds log10(viscosity / Pa.s) at 1273 K."""
_AS = {"FeO": ("Fe2O3", 0.5), "MnO2": ("MnO", 1.0), "Mn2O3": ("MnO", 2.0)}  # other ways to write an oxide, and moles of it in one


class Column(NamedTuple):
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


def read_database(folder: Path) -> pd.DataFrame:
    """Lead-free glasses of the 17 oxides: shares by moles with sum 1, properties, ``publication``, ``author``, ``year``.
    ``folder`` : the unpacked wheel, which holds ``glasspy/``. Raises FileError when the files are not there."""
    paths = [folder / FILES / f"{name}.csv.xz" for name in ("sciglass", "sciglass_comp")]
    for path in paths:
        if not path.is_file():
            raise FileError(f"{path} is not there; unpack the wheel glasspy-0.3 into {folder}")
    properties, moles = (pd.read_csv(path, low_memory=False) for path in paths)
    if not properties["ID"].equals(moles["ID"]):
        raise FileError("the two files of the database do not list the same glasses")
    moles = moles.drop(columns="ID").apply(pd.to_numeric, errors="coerce").fillna(0.0)
    own = moles[list(MODEL_OXIDES)].copy()
    for written, (oxide, count) in _AS.items():
        own[oxide] += count * moles[written]
    total = moles.sum(axis=1)
    named = (own.sum(axis=1) + 0.5 * moles["FeO"]) / total.where(total > 0)
    fits = (named >= LEAST_NAMED) & (moles["PbO"] <= MOST_LEAD * total)
    about = pd.DataFrame(
        {
            "publication": properties["ID"].str.split("_").str[1].astype(int),
            "author": properties["Author"],
            "year": properties["Year"].astype(int),
        }
    )
    shares = own.div(own.sum(axis=1).where(lambda sums: sums > 0), axis=0)
    return pd.concat([shares, about, properties.drop(columns=["ID", "Author", "Year"])], axis=1)[fits]


def viscosity_points(glasses: pd.DataFrame) -> pd.DataFrame:
    """Every viscosity of the glasses: ``row`` (their index), ``temp_k``, ``log10_pa_s``. A point given both ways, as a
    temperature of a viscosity and as a viscosity at a temperature, stands once."""
    temps = [(glasses[f"T{step}"].dropna(), float(step)) for step in ISOKOMS]
    values = [(glasses[f"ViscosityAt{temp_k}K"].dropna(), float(temp_k)) for temp_k in TEMPS_K]
    found = [pd.DataFrame({"row": each.index, "temp_k": each, "log10_pa_s": log10}) for each, log10 in temps]
    found += [pd.DataFrame({"row": each.index, "temp_k": temp_k, "log10_pa_s": each}) for each, temp_k in values]
    points = pd.concat(found, ignore_index=True)
    rounded = points.assign(temp_k=points["temp_k"].round(), log10_pa_s=points["log10_pa_s"].round(1))
    return points[~rounded.duplicated()]


def composition_key(glasses: pd.DataFrame, step_mol_pct: float) -> pd.Series:
    """A word that two glasses share when all their mole percentages agree within ``step_mol_pct``."""
    steps = np.rint(glasses[list(MODEL_OXIDES)].to_numpy() * 100 / step_mol_pct).astype(np.int32)
    return pd.Series([each.tobytes() for each in steps], index=glasses.index)


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
    points["temp_c"] = points["temp_k"] - KELVIN
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
        alpha=values["alpha"].round(2), Tg_C=(values["Tg_K"] - KELVIN).round(), E_GPa=values["E_GPa"].round(1)
    )
    number = pd.Series(np.arange(1, len(kept) + 1), index=kept.index)
    table.insert(0, "gid", number)
    rounded = points["temp_c"].round().astype(int), points["log10_pa_s"].round(2)
    viscosity = pd.DataFrame({"gid": points["row"].map(number), "T_C": rounded[0], "log10_eta_Pas": rounded[1]})
    return {
        "glasses": table,
        "viscosity": viscosity.sort_values(["gid", "T_C"]),
        "liquidus": written_shares(glasses.loc[liquidus.index]).assign(T_liquidus_C=(liquidus - KELVIN).round()),
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
