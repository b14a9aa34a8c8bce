"""The page of all error messages is what the library raises."""

import re

import error_table


def test_the_page_is_up_to_date():
    written = error_table.PAGE.read_text(encoding="utf-8")
    assert written == error_table.page(), "run: python tools/error_table.py"


def test_every_message_says_something():
    raised, without = error_table.messages()
    assert not set(raised) & set(without)
    for code, (_, message) in raised.items():
        assert len(message) > 15, code
        assert "{" not in message.replace("{ diameter, length }", ""), code
        assert "  " not in message.replace("\n  ", ""), code


def test_codes_that_python_alone_raises_are_on_the_page():
    written = error_table.PAGE.read_text(encoding="utf-8")
    domains = "|".join([*error_table.TITLES, "command"])
    ours = [
        *(error_table.ROOT / "python" / "fillmark").rglob("*.py"),
        *(error_table.ROOT / "src" / "python").rglob("*.rs"),
    ]
    # Examples in comments name inputs that look like codes: `geometry.metal`.
    lines = [line for path in ours for line in path.read_text(encoding="utf-8").splitlines()]
    sources = [line for line in lines if not line.lstrip().startswith("///")]
    codes = {code for text in sources for code in re.findall(rf'"((?:{domains})\.[a-z_]+)"', text)}
    assert len(codes) > 10
    assert [code for code in sorted(codes) if f"`{code}`" not in written] == []
