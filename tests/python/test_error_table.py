"""The page of all error messages is what the library raises."""

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
