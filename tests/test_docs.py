"""README.md, DEVELOPERS.md and its chapters against the code: what there is, is named; what is named, is there."""

import json
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from django.core.management import call_command, load_command_class
from django.core.management.base import BaseCommand

from packing.boxes import all_styles
from packing.check import RULES
from packing.cli.main import main
from packing.measure import RULES as PLAN_RULES
from packing.measure import read_order, rules_content
from shop.api.urls import urlpatterns as api_urls
from tests.helpers import matched

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
CHAPTERS = [f"{folder}/README.md" for folder in ("packing", "packing/plan", "packing/check", "shop", "tests")]
GUIDE = "\n".join([DEVELOPERS, *((ROOT / chapter).read_text(encoding="utf-8") for chapter in CHAPTERS)])
DOCS = README + GUIDE
PAGES = ["README.md", "DEVELOPERS.md", "CHANGELOG.md", *CHAPTERS]
OURS = ["packing", "shop", "templates", "tests", ".ci"]
TEXTS = {".py", ".md", ".toml", ".in", ".txt", ".html", ".css", ".js", ".json", ".csv", ".svg", ".cfg", ""}
COMMANDS = sorted(path.stem for path in (ROOT / "shop/management/commands").glob("[a-z]*.py"))
TARGETS = re.findall(r"^([a-z]+):.*##", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE)


def section(title: Any) -> Any:
    """A section of the developers' guide and its chapters, its heading left out."""
    return matched(rf"^##+ {title}\n(.*?)(?=^##? |\Z)", GUIDE, re.MULTILINE | re.DOTALL)[1]


def rows(text: Any) -> Any:
    """The cells of every table's rows, heads left out."""
    lines = text.splitlines()
    heads = {index for index, line in enumerate([*lines[1:], ""]) if line.startswith("|---")}
    body = [line for index, line in enumerate(lines) if line.startswith("|") and not heads & {index, index - 1}]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in body]


def block(text: Any, language: Any) -> Any:
    return matched(rf"^```{language}\n(.*?)^```", text, re.MULTILINE | re.DOTALL)[1]


def modules(folder: Any) -> Any:
    """The modules and packages at the top of a wing."""
    found = [path for path in (ROOT / folder).iterdir() if path.suffix == ".py" or (path / "__init__.py").exists()]
    return {path.stem for path in found} - {"__init__"}


def variables(path: Any) -> Any:
    """The environment variables a file reads: through `shop.config.environment`, through `os.environ`, by constant."""
    text = path.read_text(encoding="utf-8")
    constants = dict(re.findall(r'^([A-Z_]+) = "([A-Z_]+)"$', text, re.MULTILINE))
    readers = r"environment\.(?:text|flag|whole|words|address|folder)|os\.environ\.(?:get|pop|setdefault)|os\.getenv"
    asked = re.findall(rf"(?:{readers})\(([^,)]+)", text) + re.findall(r"os\.environ\[([^\]]+)\]", text)
    return {name.strip('"') for name in (constants.get(word, word) for word in asked) if name.strip('"').isupper()}


def options(command: Any) -> Any:
    """A management command's own options, those of every command left out."""
    own = load_command_class("shop", command).create_parser("manage.py", command)
    every = BaseCommand().create_parser("manage.py", command)
    known = {option for action in every._actions for option in action.option_strings}
    return {option for action in own._actions for option in action.option_strings} - known


def our_files() -> Any:
    """Every text file of the project; what tools leave behind is left out."""
    found = [path for folder in OURS for path in (ROOT / folder).rglob("*")]
    found += [path for path in ROOT.iterdir() if path.name != ".git"]
    return [path for path in found if path.is_file() and path.suffix in TEXTS and "__pycache__" not in path.parts]


def anchors(text: Any) -> Any:
    """The anchors of a page's headings, as the usual viewers of Markdown make them."""
    headings = re.findall(r"^#+ (.*)$", text, re.MULTILINE)
    return {re.sub(r"[^\w -]", "", heading.lower()).replace(" ", "-") for heading in headings}


def test_the_map_is_of_two_hundred_lines_at_most() -> None:
    assert len(DEVELOPERS.splitlines()) <= 200


def test_the_settings_table_has_every_variable_the_code_reads_and_no_other() -> None:
    files = [*(ROOT / "shop").rglob("*.py"), *(ROOT / "packing").rglob("*.py"), *(ROOT / ".ci").glob("*.py")]
    read = set().union(*(variables(path) for path in files))
    assert {row[0].strip("`") for row in rows(section("Settings"))} == read


@pytest.mark.parametrize("target", TARGETS)
def test_each_make_target_is_named(target: Any) -> None:
    assert f"`make {target}" in section("Commands")


@pytest.mark.parametrize("command", COMMANDS)
def test_each_management_command_and_its_options_are_named(command: Any) -> None:
    (line,) = [row[0] for row in rows(section("Commands")) if f"manage.py {command}" in row[0]]
    assert options(command) <= set(re.findall(r"--[a-z-]+", line))


def test_each_option_of_the_command_line_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--help"])
    asked = set(re.findall(r"--[a-z]+", capsys.readouterr().out)) - {"--help"}
    assert "--out" in asked
    assert asked <= set(re.findall(r"--[a-z]+", section("Commands")))


@pytest.mark.parametrize("entry", [entry for entry in api_urls if entry.name != "api-nothing"], ids=lambda e: e.name)
def test_each_address_of_the_api_is_named_with_its_methods(entry: Any) -> None:
    address = "/api/" + re.sub(r"<int:(\w+)>", lambda found: f"<{found[1].replace('pk', 'id')}>", str(entry.pattern))
    lines = " ".join(row[0] for row in rows(section("The API")) if re.search(re.escape(address) + r"[`?]", row[0]))
    methods = [name for name in ("get", "post", "put", "patch", "delete") if hasattr(entry.callback.view_class, name)]
    assert methods and all(method.upper() in lines for method in methods)


def test_the_rules_of_a_plan_stand_in_their_table_with_their_defaults() -> None:
    box = {"id": "b", "kind": "block", "length": 1, "width": 1, "height": 1, "weight_g": 1}
    default = rules_content(read_order({"id": "a", "items": [box]}).rules)
    told: Any = {}
    for names, values, _note in [row for row in rows(section("The order file")) if len(row) == 3]:
        keys = re.findall(r"`(\w+)`", names)
        shown = [values] if len(keys) == 1 else values.split(", ")
        told |= dict(zip(keys, shown, strict=True))
    said = {key: json.dumps(default[key]).strip("[]") if key in default else "off" for key in PLAN_RULES}
    assert told == said


def test_each_rule_of_the_checker_is_named_and_no_other() -> None:
    assert {name for row in rows(section("The checker")) for name in re.findall(r"`(\w+)`", row[1])} == set(RULES)


def test_each_system_check_is_named() -> None:
    ids = set(re.findall(r'id="stowright\.(\w+)"', (ROOT / "shop/config/checks.py").read_text(encoding="utf-8")))
    assert ids and all(f"{number}`" in section("Settings") for number in ids)


def test_the_map_has_every_module_of_the_library_and_no_other() -> None:
    assert {row[0].strip("`") for row in rows(section("The library"))} == modules("packing")


def test_the_map_has_every_module_of_the_shop_and_no_other() -> None:
    named = {Path(name).stem for row in rows(section("The shop")) for name in re.findall(r"`([\w.]+)/?`", row[0])}
    folders = {path.name for path in (ROOT / "shop").iterdir() if path.is_dir() and any(path.glob("[!_]*"))}
    assert named == modules("shop") | folders


@pytest.mark.parametrize("style", [style.code for style in all_styles()])
def test_each_style_of_box_is_named(style: Any) -> None:
    assert f'"{style}"' in section("How to add")


def test_the_readme_names_only_commands_that_exist(capsys: pytest.CaptureFixture[str]) -> None:
    assert set(re.findall(r"^make ([a-z]+)", README, re.MULTILINE)) <= set(TARGETS)
    assert set(re.findall(r"manage\.py (\w+)", README)) <= set(COMMANDS)
    with pytest.raises(SystemExit):
        main(["--help"])
    assert set(re.findall(r"--[a-z]+", README)) <= set(re.findall(r"--[a-z]+", capsys.readouterr().out))


@pytest.mark.parametrize("page", PAGES)
def test_the_links_of_a_page_lead_somewhere(page: Any) -> None:
    text = (ROOT / page).read_text(encoding="utf-8")
    for link in re.findall(r"\]\(([^)]+)\)", text):
        name, _, anchor = link.partition("#")
        target = ((ROOT / page).parent / name).resolve() if name else ROOT / page
        assert target.exists(), link
        assert not anchor or anchor in anchors(target.read_text(encoding="utf-8")), link


@pytest.mark.parametrize("page", [README, GUIDE], ids=["README.md", "the guide"])
def test_the_example_order_of_a_page_is_a_good_one(page: Any) -> None:
    assert len(read_order(json.loads(block(page, "json"))).items) == 2


def test_the_example_of_the_library_runs() -> None:
    names = {"content": json.loads(block(GUIDE, "json"))}
    exec(block(section("The library"), "python"), names)
    assert names["answer"].status == "planned"


def test_the_files_and_folders_named_in_the_guide_are_there() -> None:
    named = set(re.findall(r"`((?:packing|shop|templates|tests|\.ci)/[\w./-]+)`", DOCS))
    assert len(named) > 20
    assert [name for name in sorted(named) if not (ROOT / name).exists()] == []


def test_the_picture_of_the_readme_has_paper_under_it() -> None:
    picture = matched(r"!\[[^\]]+\]\(([^)]+\.svg)\)", README)[1]
    drawing = ElementTree.fromstring((ROOT / picture).read_text(encoding="utf-8"))
    ground = next(drawing.iter("{http://www.w3.org/2000/svg}rect"))
    size = drawing.attrib["viewBox"].split()[2:]
    assert [ground.get("width"), ground.get("height")] == size and ground.attrib["fill"].startswith("#")


def test_the_picture_of_the_readme_can_be_drawn_again(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    drawn = tmp_path / "picture.svg"
    call_command("picture", str(ROOT / "tests/data/plan_sample.json"), out=str(drawn))
    words = {text.text for text in ElementTree.fromstring(drawn.read_text(encoding="utf-8")).iter() if text.text}
    assert any(text.startswith("Insert ") for text in words)


def test_no_file_names_a_package_registry() -> None:
    address = r"https?://[^\s\"']*/(?:simple|packages)/"
    hosts = re.compile(address + r"|(?:index-url|registry)\s*=?\s*https?:|\"resolved\": *\"http")
    assert hosts.search("--index-url " + "https:" + "//example.org")
    assert [path.name for path in our_files() if hosts.search(path.read_text(encoding="utf-8"))] == []


def test_no_file_names_a_folder_of_somebodys_machine() -> None:
    folders = re.compile(r"(?<![\w.}<)/])/(?:home|root|work|tmp|mnt|Users|opt)/\w")
    assert [str(path) for path in our_files() if folders.search(path.read_text(encoding="utf-8"))] == []
