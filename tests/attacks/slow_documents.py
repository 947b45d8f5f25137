"""Documents of up to 1 MiB made to be slow, each for one thing that a reader does."""

from __future__ import annotations

from collections.abc import Callable, Mapping

PROFILE = "gonogo: profile/1\nvehicle: {name: Alder}\n"
RULE = "gonogo: rule/1\nid: our-rule\n"
HOUSE = "gonogo: house/1\n"
WARM = (f"{PROFILE}a: 1\n", f"{RULE}a: 1\n", f"{HOUSE}a: 1\n", "gonogo: part/1\na: 1\n")
MANY = 19_000  # a document may hold 20,000 values
LETTERS = 1_000_000


def each(text: str, count: int = MANY) -> str:
    return "".join(text.replace("N", str(number)) for number in range(count))


DOCUMENTS: Mapping[str, Callable[[], str]] = {
    # a schema's words and names
    "unknown keys": lambda: PROFILE + each("kN: 1\n"),
    "unknown keys near a known one": lambda: PROFILE + "settings:\n" + each("  max_rpmN: 1\n"),
    "unknown keys of a house file": lambda: HOUSE + "allowances:\n" + each("  drop_percentN: 1\n"),
    "unknown keys of a part": lambda: "gonogo: part/1\nmotor: {a: 1}\n" + each("kN: 1\n"),
    "unknown keys in waivers": lambda: PROFILE + "waivers:\n" + each("  - {ruleN: a}\n", 6000),
    "long unknown keys": lambda: PROFILE + each(f"{'k' * 40}N: 1\n"),
    "decimal commas": lambda: PROFILE + "pack: {full_V: 48" + each(",N") + "}\n",
    "sections that repeat": lambda: RULE + "needs:\n" + each("  - {a: N}\n", 9000),
    "lists that repeat": lambda: RULE + "yields_to:\n" + each("  - [N]\n", 9000),
    "long list of numbers": lambda: (
        PROFILE + "readings: {throttle: {rest_V: [" + each("N,") + "]}}\n"
    ),
    "long list of stages": lambda: (
        PROFILE + "drivetrain:\n  stages:\n" + each("    - {driving_teeth: N}\n", 9000)
    ),
    "thousands of modes": lambda: PROFILE + "modes:\n" + each("  mN: {max_rp: 5}\n", 9000),
    "thousands of severities": lambda: HOUSE + "severities:\n" + each("  rN: danger\n", 9000),
    "thousands of examples": lambda: (
        RULE + "examples:\n" + each("  - {given: {a.b: N}, outcome: x}\n", 4500)
    ),
    "thousands of quantities in an example": lambda: (
        RULE + "examples:\n  - given: {" + each("a.bN: 1, ") + "}\n"
    ),
    # aliases and nodes
    "aliases of a list": lambda: PROFILE + "x: &a [1,1,1,1,1,1,1,1,1]\n" + each("yN: *a\n"),
    "aliases of aliases": lambda: (
        PROFILE
        + "a0: &a0 [x,x]\n"
        + "".join(f"a{n}: &a{n} [*a{n - 1},*a{n - 1}]\n" for n in range(1, 40))
    ),
    "an anchor a line": lambda: PROFILE + each("kN: &aN x\n"),
    "too many values": lambda: PROFILE + "k: [" + "1," * 400_000 + "]\n",
    "too deep in brackets": lambda: PROFILE + "k: " + "[" * LETTERS,
    "too deep in sections": lambda: PROFILE + "".join(" " * n + "k:\n" for n in range(1000)),
    "keys that repeat": lambda: PROFILE + "a: 1\n" * MANY,
    "tags": lambda: PROFILE + "k: [" + "!a b," * MANY + "]\n",
    "truths of older readers": lambda: PROFILE + "k: [" + "yes," * MANY + "]\n",
    "numbers of base sixteen": lambda: PROFILE + "k: [" + "0x1," * MANY + "]\n",
    # what YAML leaves open
    "comments right after brackets": lambda: PROFILE + "# " + "]#" * (LETTERS // 2) + "\n",
    "such comments in quotes": lambda: PROFILE + 'k: "' + "]#" * (LETTERS // 2) + '"\n',
    "question marks": lambda: PROFILE + "# " + " ?a" * (LETTERS // 3) + "\n",
    "colons": lambda: PROFILE + "k: '" + " :a" * (LETTERS // 3) + "'\n",
    "colons behind quotes": lambda: PROFILE + "k: {" + each("'bN' :x, ") + "}\n",
    "lines of blanks": lambda: PROFILE + "k: |\n" + "  \n" * (LETTERS // 3) + "  x\n",
    "texts of blanks": lambda: PROFILE + each("kN: |\n" + "\n" * 30),
    "lines in quotes": lambda: PROFILE + 'k: "a\n' + "  b\n" * (LETTERS // 4) + '  "\n',
    "quotes over two lines": lambda: PROFILE + each('kN: "a\n  b"\n'),
    "lines in brackets": lambda: PROFILE + "k: [a,\n" + "  \n" * (LETTERS // 3) + " b]\n",
    # letters
    "one long comment": lambda: PROFILE + "#" + "x" * LETTERS + "\n",
    "one long key": lambda: PROFILE + "x" * LETTERS + ": 1\n",
    "one long word": lambda: PROFILE + "k: " + "x" * LETTERS + "\n",
    "one long number": lambda: PROFILE + "k: " + "1" * LETTERS + "\n",
    "one long number with underscores": lambda: PROFILE + "k: " + "1_" * (LETTERS // 2) + "\n",
    "one long name": lambda: PROFILE + "k: &" + "a" * LETTERS + " x\n",
    "empty lines": lambda: PROFILE + "\n" * LETTERS,
    "empty lines of an old system": lambda: PROFILE + "\r" * LETTERS,
    "letters of two bytes": lambda: PROFILE + "# " + "é" * (LETTERS // 2) + "\n",
}
