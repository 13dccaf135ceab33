"""`chartc explain`: what the code of a message means, with an example."""

from __future__ import annotations

import argparse

from chartc.commands import shared


def add(commands: shared.Commands) -> None:
    """The command's options."""
    about = "say what the code of a message means, with an example wrong and right"
    sub = shared.command(commands, "explain", run, about)
    sub.add_argument("code", metavar="CODE", nargs="?", help="the code in square brackets (default: list all)")


def run(args: argparse.Namespace) -> int:
    """Prints one explanation, or every code with the first sentence of its meaning."""
    from chartc.codes import EXPLAINED
    from chartc.text.diagnostic import nearest

    if args.code is None:
        width = max(map(len, EXPLAINED))
        for code, explanation in EXPLAINED.items():
            print(f"{code:{width}}  {explanation.meaning.split('. ')[0].rstrip('.')}.")
        return shared.FINE
    code = args.code.strip().strip("[]").lower()
    if code not in EXPLAINED:
        shared.say(f'there is no code "{args.code[:60]}"{nearest(code, EXPLAINED)}; "chartc explain" lists them all')
        return shared.FAILED
    print(text(code))
    return shared.FINE


def text(code: str) -> str:
    """The explanation of a known code as text: the meaning in lines of 80 characters, then the examples."""
    import textwrap

    from chartc.codes import EXPLAINED

    explanation = EXPLAINED[code]
    out = [code, "", *textwrap.wrap(explanation.meaning, 80)]
    for word, example in (("wrong", explanation.wrong), ("right", explanation.right)):
        if example:
            # what does not show must not steer the terminal either: it is written as its number
            shown = "".join(c if c.isprintable() or c == "\n" else f"<U+{ord(c):04X}>" for c in example)
            out += ["", f"{word}:", "", textwrap.indent(shown, "    ")]
    return "\n".join(out)
