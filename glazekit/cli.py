"""The front door: ``glazekit start``, ``glazekit sheet``, ``glazekit doctor`` and ``glazekit site``.

Whatever a person can get wrong ends in exit code 2 and one line that says what to do; a traceback is a bug of ours.
"""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from glazekit import __version__
from glazekit.ground.errors import (
    FileError,
    GlazekitError,
    RecipeError,
    UnknownMaterialError,
    located,
    name_key,
    quoted,
    unknown_name,
)
from glazekit.words.texts import load

if TYPE_CHECKING:
    from glazekit.materials.stock import Stock
    from glazekit.recipe.recipe import Recipe
    from glazekit.sheets.catalogue import Sheet
    from glazekit.sheets.plain_sheet import ReckonedSheet

USER_ERROR = 2
AT_HAND = ("recipe", "reference", "batch", "dry_g", "stock", "water_ml_per_100g", "estimates")
"""What the command ``sheet`` has at hand for a sheet."""
LONGEST_LINE = 400
LAST_PORT, PORTS_MORE = 65535, 50


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns its exit code: 0 done, 1 the doctor found something, 2 a user error."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure: Callable[..., None] | None = getattr(stream, "reconfigure", None)
        if reconfigure:
            reconfigure(errors="backslashreplace")  # a terminal without the letter shows its code instead of stopping
    try:
        args = _parser().parse_args(argv)
        code: int = args.run(args)
        sys.stdout.flush()
        return code
    except BrokenPipeError:  # the reader, such as `head`, has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except (GlazekitError, argparse.ArgumentTypeError) as error:
        return _complain(str(error))
    except OSError as error:  # a folder nobody may look into, a name no file can have
        return _complain(f"{quoted(error.filename or 'this computer', 200)} cannot be used: {error.strerror or error}")
    except KeyboardInterrupt:
        return 130


def _complain(message: str) -> int:
    line = " ".join("".join(sign if sign.isprintable() else " " for sign in message).split())
    if len(line) > LONGEST_LINE:
        line = f"{line[:LONGEST_LINE]} ..."
    print(f"glazekit: {line}", file=sys.stderr)
    return USER_ERROR


class _OneLineParser(argparse.ArgumentParser):
    """A parser whose complaint is one line."""

    def error(self, message: str) -> NoReturn:
        plainer = message.replace("expected one argument", "a value is missing, or it begins with a minus sign")
        sys.exit(_complain(f"{plainer}; see: {self.prog} --help"))


def _parser() -> argparse.ArgumentParser:
    parser = _OneLineParser(
        prog="glazekit", description="From a recipe to a weighed, watered and understood batch of glaze.", allow_abbrev=False
    )
    parser.add_argument("--version", action="version", version=f"glazekit {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="start | sheet | doctor | site", required=True)
    runs, types = {"start": _start, "sheet": _sheet, "doctor": _doctor, "site": _site}, {"path": _path, "port": _port_number}
    for name, said in load("commands").items():
        about = {key: text for key, text in said.items() if key != "options"}
        command = commands.add_parser(name, allow_abbrev=False, **about)
        command.set_defaults(run=runs[name])
        for option, how in said["options"].items():
            command.add_argument(option, **how | ({"type": types[how["type"]]} if "type" in how else {}))
    return parser


def _path(text: str) -> Path:
    """A path as typed; ``~`` is the home folder."""
    if not text.strip():
        raise argparse.ArgumentTypeError("the name is empty")
    try:
        return Path(text).expanduser()
    except RuntimeError:
        raise argparse.ArgumentTypeError(f"'{text}': there is no such home folder on this computer") from None


def _port_number(text: str) -> int:
    if not text.isdecimal() or len(text) > 5 or not 1 <= int(text) <= LAST_PORT:
        raise argparse.ArgumentTypeError(f"{quoted(text)} is not a port; use a whole number from 1 to {LAST_PORT}")
    return int(text)


def _start(args: argparse.Namespace) -> int:
    from glazekit.folder.lessons import DEFAULT_FOLDER, bring_lessons, last_lesson
    from glazekit.start.doctor import missing_for_lessons
    from glazekit.start.server_settings import jupyter_settings
    from glazekit.words.course import lesson_file

    if missing := missing_for_lessons():
        raise FileError(
            f"the lessons need {', '.join(missing)}; install glazekit with its extra 'lab', from its folder: "
            f'"{sys.executable}" -m pip install ".[lab]"'
        )
    folder = (args.folder or _path(str(DEFAULT_FOLDER))).absolute()
    first = lesson_file(args.lesson or last_lesson(folder))
    for brought in bring_lessons(folder):
        if brought.word != "same":
            print(brought.words)
    os.environ.update(jupyter_settings(folder))
    print(f"Your folder is {folder}")
    print("To stop: press Ctrl-C twice in this window. Your work stays in that folder.", flush=True)
    from jupyterlab.labapp import main as jupyterlab_main

    # in this process, on this computer only, with a token; a busy port moves to the next free one
    options = [
        "--ServerApp.ip=127.0.0.1",
        f"--ServerApp.root_dir={folder}",
        f"--ServerApp.port={args.port}",
        f"--ServerApp.port_retries={min(PORTS_MORE, LAST_PORT - args.port)}",
        "--log-level=ERROR",
        "--LabApp.log_level=ERROR",
        f"--LabApp.default_url=/doc/tree/{first}",
        *(["--no-browser"] if args.no_browser else []),
    ]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        print("Note: you are the administrator (root) of this computer; an ordinary account is safer.", flush=True)
        options.append("--allow-root")
    jupyterlab_main(options)
    return 0


def _sheet(args: argparse.Namespace) -> int:
    from glazekit.ground.numbers import parse_mass_g, parse_number
    from glazekit.sheets.catalogue import sheet_named
    from glazekit.sheets.plain_sheet import reckon_sheet, sheet_data, sheet_text
    from glazekit.water.slip import START_WATER_ML_PER_100G

    if args.kind and not args.html:
        raise FileError(f"the {args.kind} is for paper: add --html and the name of a new file")
    base_g, division_g, kind = parse_mass_g(args.base), parse_mass_g(args.scale), sheet_named(args.kind or "batch sheet", AT_HAND)
    water = START_WATER_ML_PER_100G if args.water is None else parse_number(args.water, "water")
    recipe = _recipe(args.recipe, args.which, args.additions.replace("-", "_") if args.additions else None)
    try:
        recipe.addition_factor()
    except RecipeError as error:
        raise RecipeError(f"{error}; add --additions parts or --additions percent-of-base") from None
    peak_c = None if args.peak is None else parse_number(args.peak, "peak")
    with located("--reference", FileError):
        several = "put the one you fired into a file of its own"
        reference = args.reference and _recipe(args.reference, None, None, several)
    try:
        reckoned = reckon_sheet(recipe, base_g, division_g, water, _stock(args, recipe), peak_c, reference)
    except UnknownMaterialError as error:
        raise RecipeError(f"{error}{'' if error.hint else ' (--bags, --stand-in or --unknown)'}") from None
    if args.html:
        _write_sheet(args.html, kind, reckoned, reference, with_estimates=peak_c is not None or reference is not None)
        print(f"The sheet to print is in {args.html}", file=sys.stderr if args.json else sys.stdout)
    if args.json:
        import json

        print(json.dumps(sheet_data(reckoned), indent=1, allow_nan=False))
    elif not args.html:
        print(_for_terminal(sheet_text(reckoned)), end="")
    return 0


def _write_sheet(path: Path, kind: "Sheet", reckoned: "ReckonedSheet", reference: "Recipe | None", with_estimates: bool) -> None:
    """The sheet as a new file; without estimates that nobody asked for, so that the paper stays at its two sides."""
    from glazekit.ground.textfile import write_once

    batch = reckoned.sheet
    found = (batch.recipe, reference, batch, batch.total_g, reckoned.stock, reckoned.water_ml_per_100g)
    at_hand = zip(AT_HAND, (*found, reckoned.estimates if with_estimates else ()), strict=True)
    write_once(path, kind.html(dict(at_hand)), for_spreadsheets=False)


def _recipe(path: Path, which: str | None, additions_are: str | None, several: str = "choose one with --recipe") -> "Recipe":
    """The recipe meant by a file name or the name of a demo recipe."""
    from glazekit.recipe.reading import demo_recipe, read_recipes

    if path.name == str(path) and not path.suffix and not path.exists():
        if which:
            raise FileError(f"--recipe chooses from a file; '{path}' is not one")
        recipe = demo_recipe(str(path))
        return recipe.with_additions_are(additions_are) if additions_are and recipe.additions_are is None else recipe
    recipes = read_recipes(path, additions_are=additions_are)
    names = [recipe.name for recipe in recipes]
    if which is None:
        if len(recipes) > 1:
            raise FileError(f"{path.name} holds {len(recipes)} recipes; {several}: {', '.join(names)}")
        return recipes[0]
    found = [recipe for recipe in recipes if name_key(recipe.name) == name_key(which)]
    if not found:
        raise unknown_name(RecipeError, "recipe", which, names, where=f"{path.name} has ")
    return found[0]


def _for_terminal(text: str) -> str:
    """The text, with plain signs for a terminal that has none for powers of ten and degrees."""
    try:
        text.encode(sys.stdout.encoding or "utf-8")
    except UnicodeEncodeError:
        text = text.replace("×10⁻⁶", "x 10^-6").replace("°C", "deg C")
    return text


def _stock(args: argparse.Namespace, recipe: "Recipe") -> "Stock":
    """The course's stock with the bags, unknowns and stand-ins of the command line."""
    from glazekit.materials.stock import course_stock

    stock = course_stock()
    if args.bags:
        from glazekit.materials.bags import read_bag_analyses

        bags = read_bag_analyses(args.bags)
        stock = stock.with_materials(bags)
        used = {name_key(stock.find(name).name) for name in recipe.materials() if name in stock}
        if not any(name_key(stock.find(bag.name).name) in used for bag in bags):
            none_used = f"--bags {args.bags.name}: none of its bags is in {recipe.name}, it has "
            raise unknown_name(RecipeError, "material", bags[0].name, recipe.materials(), where=none_used)
    for name in args.unknown:
        stock = stock.with_unknown(_in_recipe(name, recipe, "--unknown"))
    for pair in args.stand_in:
        name, equals, generic = pair.partition("=")
        if not equals or not name.strip() or not generic.strip():
            raise FileError(f'--stand-in {pair}: write it as "NAME=GENERIC", such as "old feldspar=potash feldspar"')
        stock = stock.with_stand_in(_in_recipe(name, recipe, "--stand-in"), generic.strip())
    return stock


def _in_recipe(name: str, recipe: "Recipe", option: str) -> str:
    """The name as the recipe writes it; a name that is not in the recipe is a slip of the hand."""
    written = {name_key(material): material for material in recipe.materials()}
    if name_key(name) not in written:
        raise unknown_name(RecipeError, "material", name, recipe.materials(), where=f"{option}: {recipe.name} has ")
    return written[name_key(name)]


def _doctor(args: argparse.Namespace) -> int:
    from glazekit.folder.lessons import DEFAULT_FOLDER
    from glazekit.start.doctor import examine, verdict

    findings = examine(args.folder or _path(str(DEFAULT_FOLDER)))
    for finding in findings:
        print(f"{finding.what:<11} {finding.word:<8} {finding.words}")
    fine, words = verdict(findings)
    print(words)
    return 0 if fine else 1


def _site(args: argparse.Namespace) -> int:
    from glazekit.site.build import build_site

    folder = args.folder.absolute()
    files, size_mb = build_site(folder, lambda line: print(line, flush=True))
    print(f"The site is in {folder}: {files} files, {size_mb:.0f} MB.")
    print("Put that folder on any web server with https. It does not open by a double click: browsers want a server for it.")
    print(f'To try it on this computer: "{sys.executable}" -m http.server --bind 127.0.0.1 --directory "{folder}" 8000')
    print("and open http://127.0.0.1:8000 in your browser.")
    return 0
