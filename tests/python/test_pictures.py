"""Every picture as a whole: nothing clipped, no text on other text, a unit on every axis, as it was looked at."""

import itertools

import pytest

matplotlib = pytest.importorskip("matplotlib")
matplotlib.use("Agg")

import fillmark as fm  # noqa: E402
import numpy as np  # noqa: E402
from fillmark import plot  # noqa: E402
from fillmark.plot import _language  # noqa: E402
from matplotlib import pyplot  # noqa: E402
from matplotlib.text import Text  # noqa: E402
from pictures import CAUSES, PICTURES, drawn  # noqa: E402

# Baselines are of the matplotlib that requirements-dev.txt pins for the newest Python; others set text differently, by
# a pixel here and there, so there the picture is drawn and looked through but not compared.
COMPARED = matplotlib.__version__.startswith("3.11.")
compared = (
    pytest.mark.mpl_image_compare(baseline_dir="baseline", savefig_kwargs={"dpi": 60}, tolerance=3)
    if COMPARED
    else lambda test: test
)


@pytest.fixture(autouse=True)
def _close_figures():
    yield
    pyplot.close("all")


def texts(figure):
    """Everything written in a figure, with its box. Labels of ticks outside the view are never drawn."""
    figure.draw_without_rendering()
    ticks, unseen = set(), set()
    for axis in (axis for ax in all_axes(figure) for axis in (ax.xaxis, ax.yaxis)):
        low, high = sorted(axis.get_view_interval())
        for tick in [*axis.get_major_ticks(), *axis.get_minor_ticks()]:
            ticks |= {tick.label1, tick.label2}
            if not low - 1e-9 * (high - low) <= tick.get_loc() <= high + 1e-9 * (high - low):
                unseen |= {tick.label1, tick.label2}
    found = []
    for text in figure.findobj(Text):
        shown = text.get_visible() and (text.axes is None or text.axes.get_visible())
        if shown and text not in unseen and text.get_text().strip():
            found.append((text.get_text(), Text.get_window_extent(text)))
    return found


def all_axes(figure):
    """Axes of a figure, with insets and second axes."""
    return figure.findobj(matplotlib.axes._base._AxesBase)


# Rendered by Agg with the font that matplotlib brings; each was looked at before it was kept.
@pytest.mark.parametrize("name", PICTURES)
@compared
def test_picture(name):
    figure = drawn(name)
    check_writing(figure)
    return figure if COMPARED else None


@pytest.mark.parametrize("name", PICTURES)
def test_picture_on_a_page(name):
    # 170 mm: the text of an A4 page (ISO 216: 210 mm) between margins of 20 mm.
    with plot.page(width_mm=170.0):
        figure = drawn(name)
    wide = figure.get_figwidth() * 25.4
    assert wide == pytest.approx(1.3 * 170.0 if name == "incident" else 170.0)
    assert figure.dpi == 300.0
    check_writing(figure)
    # 5 pt is what journals commonly take at the least (common practice, no source).
    assert min(text.get_fontsize() for text in figure.findobj(Text) if text.get_text().strip()) >= 5.0


# Drain plug and what is poured, of each demo: circuits of other shapes, fewer places and other numbers than above.
SERVICES = {
    "shuttle-bus": (None, 7.1),
    "deck-generator": (None, 4.1),
    "harbour-launch": (None, 13.5),
    "winch-gearbox": ("drain", 0.5),
}


@pytest.mark.parametrize("name", SERVICES)
def test_pictures_of_every_demo_keep_their_writing_apart(name):
    circuit = fm.Circuit.demo(name)
    plug, litres = SERVICES[name]
    change = [fm.ChangeFilter()] if "filter.net_volume" in circuit.columns()["path"] else []
    service = [fm.Drain(minutes=10, plug=plug), *change, fm.Pour(litres), fm.Run(minutes=1), fm.Read(label="dip")]
    line = fm.simulate(circuit, service)
    check_writing(plot.waterfall(line).figure)
    check_writing(plot.incident(line, seen_mm=circuit.max_mm - 2.0, causes=CAUSES)[0].figure)
    used = plot.level_over_distance(circuit, [0.0, 4500.0, 9000.0], use_l_per_1000km=0.08, fuel_l_per_1000km=0.02)
    upper = plot.over_distance(used, circuit=circuit)[0]
    check_writing(upper.figure)
    # MIN and MAX stand on white in front of the lines that pass there.
    marks = [text for text in upper.texts if text.get_text() in {"MIN", "MAX"}]
    assert len(marks) == 2
    assert all(mark.get_bbox_patch() and mark.zorder > max(x.zorder for x in upper.lines[:3]) for mark in marks)


def check_writing(figure):
    """16:9, a unit on every axis, nothing written across the edge or on other text."""
    assert figure.get_size_inches() == pytest.approx(figure.get_size_inches()[0] * np.array([1.0, 9.0 / 16.0]))
    written = texts(figure)
    assert not without_unit(figure)
    for said, place in written:
        assert figure.bbox.x0 - 1.0 <= place.x0, said
        assert place.x1 <= figure.bbox.x1 + 1.0, said
        assert figure.bbox.y0 - 1.0 <= place.y0, said
        assert place.y1 <= figure.bbox.y1 + 1.0, said
    for (a, first), (b, second) in itertools.combinations(written, 2):
        assert not overlap(first, second, figure.dpi), (a, b)


def overlap(a, b, dpi=120.0):
    """Whether boxes share more than a hair: 2 px of a slide, for letters do not fill their boxes."""
    hair = 2.0 * dpi / 120.0
    return min(a.x1, b.x1) - max(a.x0, b.x0) > hair and min(a.y1, b.y1) - max(a.y0, b.y0) > hair


def without_unit(figure):
    """Numbered axes whose label, or the label of another axes beside them, has no unit in brackets."""
    labels = {
        which: any("[" in getattr(ax, which).get_label().get_text() for ax in figure.axes)
        for which in ("xaxis", "yaxis")
    }
    found = []
    for ax, which in itertools.product(figure.axes, labels):
        said = [t.get_text() for t in getattr(ax, which).get_ticklabels() if t.get_visible() and t.get_text()]
        numbers = [t for t in said if t.replace("\N{MINUS SIGN}", "").replace(".", "").isdigit()]
        if ax.get_visible() and numbers and len(numbers) == len(said):
            own = "[" in getattr(ax, which).get_label().get_text()
            found += [] if own or labels[which] else [(ax.get_title(loc="left"), which, numbers)]
    return found


def test_all_twelve_pictures_are_here():
    draws = set(plot.__all__) - {"require", "page", "one_at_a_time", "level_over_distance"}
    assert draws == {name.removesuffix("_pools") for name in PICTURES}


def linear(colour):
    """sRGB to linear light (IEC 61966-2-1)."""
    c = np.array([int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)])
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


def lightness(light):
    """CIE 1976 L* of linear light (ISO/CIE 11664-4)."""
    y = float(np.clip(light, 0.0, 1.0) @ [0.2126, 0.7152, 0.0722])
    return 116.0 * np.cbrt(y) - 16.0 if y > 216.0 / 24389.0 else y * 24389.0 / 27.0


# Complete dichromats: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009)
# 1291; the matrices from memory.
SIGHT = {
    "usual": np.eye(3),
    "protanopia": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "deuteranopia": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    "tritanopia": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
}


@pytest.mark.parametrize("sight", SIGHT)
def test_places_that_are_stacked_on_each_other_differ_in_lightness(sight):
    tones = [lightness(np.array(SIGHT[sight]) @ linear(place.tone)) for place in _language.PLACES.values()]
    steps = np.abs(np.diff(tones))
    assert steps.min() > 8.0, dict(zip(_language.PLACES, tones, strict=True))


def test_no_two_places_have_the_same_hatch_or_name():
    places = [*_language.PLACES.values(), _language.HEEL]
    assert len({p.hatch for p in places}) == len(places)
    assert len({p.label for p in places}) == len(places)


def test_old_oil_is_darker_than_new():
    light = [lightness(linear(matplotlib.colors.to_hex(_language.mixed(share)))) for share in np.linspace(0.0, 1.0, 6)]
    assert np.diff(light).min() > 5.0


@pytest.mark.parametrize(
    ("place", "group"),
    [("sump", "sump"), ("stores.head.pool", "pool"), ("stores.head.film", "film"), ("stores.a.kept", "kept"),
     ("filter", "filter"), ("filter.pool", "filter"), ("old filter", "old filter"),
     ("burnt", "burnt"), ("sump.apart", "apart"), ("moon", "other")],
)  # fmt: skip
def test_a_place_has_one_look(place, group):
    assert _language.look(place) is _language.PLACES[group]
