"""Pictures, drawn with matplotlib, which is imported when a picture is asked for.

One visual language: a place has the same tone and the same hatch in every picture, lightness and hatch tell places
apart in grey as well, every axis has its unit. Without `ax` a picture makes its own figure of 10 in by 5.625 in
(16:9, a slide), or of the width that `page` asks for; with `ax` it takes the text size in force.
"""

from fillmark.plot._canvas import require
from fillmark.plot._causes import cause_ranking
from fillmark.plot._distance import level_over_distance, over_distance
from fillmark.plot._incident import incident
from fillmark.plot._level_volume import level_volume
from fillmark.plot._paper import page
from fillmark.plot._section import section, tilted
from fillmark.plot._sequence import fill_sequence
from fillmark.plot._slope import slope_map
from fillmark.plot._stick import blade, stick
from fillmark.plot._tornado import one_at_a_time, tornado, variance_shares
from fillmark.plot._wait import reading_over_wait
from fillmark.plot._waterfall import waterfall
from fillmark.plot._where import whereabouts

__all__ = [
    "blade",
    "cause_ranking",
    "fill_sequence",
    "incident",
    "level_over_distance",
    "level_volume",
    "one_at_a_time",
    "over_distance",
    "page",
    "reading_over_wait",
    "require",
    "section",
    "slope_map",
    "stick",
    "tilted",
    "tornado",
    "variance_shares",
    "waterfall",
    "whereabouts",
]
