# Written by `make stubs` from the Rust sources; do not edit.
"""
Compiled part of fillmark.
"""

from os import PathLike
from typing import Any, SupportsFloat, SupportsIndex, final, overload

from _typeshed import SupportsGetItem
from fillmark._types import (
    Column,
    Events,
    Given,
    Number,
    Numbers,
    Quantities,
    Quantity,
    SupportsTo,
    Table,
)
from numpy import float64
from numpy.typing import ArrayLike, NDArray
from typing_extensions import disjoint_base

__all__ = [
    "Attitude",
    "ChangeFilter",
    "Circuit",
    "ClosePlug",
    "Drain",
    "Draws",
    "Event",
    "FitFilter",
    "Fluid",
    "Ledger",
    "OpenPlug",
    "Plan",
    "Pour",
    "PredictedReading",
    "Prediction",
    "Read",
    "Reading",
    "RemoveFilter",
    "Rest",
    "Row",
    "Run",
    "State",
    "Sump",
    "Tilt",
    "Timeline",
    "Uncertain",
    "Withdraw",
    "build_info",
    "demos",
    "plan_refill",
    "predict",
    "simulate",
]

@final
class Attitude:
    """
    How the body stands: pitched, then rolled. Immutable, compared by value.

    The body frame has x forward, y left and z up (axes of ISO 8855). In it *up* is
    ``(sin p, cos p sin r, cos p cos r)`` for the nose-up angle p and the right-down angle r.

    Parameters
    ----------
    nose_up_deg : quantity
        Pitch, positive when the nose is higher [deg]; greater than -90, less than 90.
    right_down_deg : quantity
        Roll, positive when the right side is lower [deg]; greater than -90, less than 90.

    Raises
    ------
    GeometryError
        If an angle is outside its range.

    Examples
    --------
    >>> import fillmark as fm
    >>> ramp = fm.Attitude(nose_up_deg=2.0)
    >>> ramp
    Attitude(nose_up_deg=2.0)
    >>> fm.Attitude(nose_up_deg="2 deg") == ramp
    True
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __hash__(self, /) -> int: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(cls, /, *, nose_up_deg: Quantity | None = None, right_down_deg: Quantity | None = None) -> Attitude: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @staticmethod
    def from_grade(*, along: Quantity | None = None, across: Quantity | None = None) -> Attitude:
        """
        The attitude of a vehicle standing on a slope.

        Parameters
        ----------
        along : quantity
            Rise over run ahead, such as 0.05 or ``"5 %"`` uphill; -10 to 10.
        across : quantity
            Rise over run towards the left; -10 to 10.

        Returns
        -------
        Attitude
            Whose x axis rises at atan(along) and whose y axis at atan(across).

        Raises
        ------
        QuantityError, GeometryError
            If a slope is out of range, or no plane has both.

        Examples
        --------
        >>> import fillmark as fm
        >>> round(fm.Attitude.from_grade(along="5 %").nose_up_deg, 4)
        2.8624
        """

    @staticmethod
    def from_lift(*, lift_mm: Quantity, wheelbase_mm: Quantity) -> Attitude:
        """
        The nose-up attitude of a vehicle on level ground with its front axle raised.

        Parameters
        ----------
        lift_mm : quantity
            How far the front axle is raised [mm]; negative where the rear is raised.
        wheelbase_mm : quantity
            Distance between the axles [mm].

        Returns
        -------
        Attitude
            With p = asin(lift / wheelbase).

        Raises
        ------
        QuantityError
            If the lift exceeds the wheelbase.

        Examples
        --------
        >>> import fillmark as fm
        >>> round(fm.Attitude.from_lift(lift_mm=150.0, wheelbase_mm=3000.0).nose_up_deg, 4)
        2.866
        """

    @staticmethod
    def from_up(
        up: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
    ) -> Attitude:
        """
        The attitude in which a direction of the body frame points up.

        Parameters
        ----------
        up : tuple of float
            Three components, of any length; the third is positive.

        Returns
        -------
        Attitude
            With p = asin(up_x), r = atan2(up_y, up_z) for a unit vector.

        Raises
        ------
        GeometryError
            If the body would lie on its side or upside down.

        Examples
        --------
        >>> import fillmark as fm
        >>> fm.Attitude.from_up((0.0, 0.0, 9.8))
        Attitude()
        """

    @property
    def nose_up_deg(self, /) -> float:
        """
        Pitch, positive when the nose is higher [deg].
        """

    def on_ground(self, /, ground: Attitude) -> Attitude:
        """
        The attitude of a body installed like this in a vehicle, when the vehicle stands at `ground`.

        Parameters
        ----------
        ground : Attitude
            How the vehicle stands.

        Returns
        -------
        Attitude
            The vehicle's *up*, seen from the body.

        Raises
        ------
        GeometryError
            If the body would lie on its side or upside down.

        Examples
        --------
        >>> import fillmark as fm
        >>> installed = fm.Attitude(nose_up_deg=8.0)
        >>> round(installed.on_ground(fm.Attitude(nose_up_deg=-3.0)).nose_up_deg, 9)
        5.0
        """

    @property
    def right_down_deg(self, /) -> float:
        """
        Roll, positive when the right side is lower [deg].
        """

    @property
    def transverse_deg(self, /) -> float:
        """
        What an inclinometer lying across the body shows, positive when the right side is lower [deg].

        It is ``asin(cos p sin r)``, which is not the roll once the nose is up.
        """

    @property
    def up(self, /) -> tuple[float, float, float]:
        """
        Unit vector pointing up, in the body frame [1].
        """

@final
class ChangeFilter(Event):
    """
    Takes the filter off and fits a new one.

    Parameters
    ----------
    primed_l : quantity, optional
        New oil put into the new one beforehand [L]; it is part of the amount to pour, never extra.
    temperature_c : quantity, optional
        Temperature of that oil [°C]; the reference temperature where not stated.
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude, optional
        How the vehicle stands for this event only.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.ChangeFilter(primed_l="0.2 US qt")
    ChangeFilter(primed_l='0.2 US qt')
    """

    def __new__(
        cls,
        /,
        primed_l: Given | None = None,
        *,
        temperature_c: Given | None = None,
        label: str | None = None,
        attitude: Attitude | None = None,
    ) -> ChangeFilter: ...

@final
class Circuit:
    """
    A sump with its dipstick, plugs, filter, stores, fluid, book figures and the marks' reference condition. Immutable.

    Made by `Circuit.demo`, `Circuit.load`, `Circuit.loads` or `Circuit.from_book`; `replace` makes a changed copy. An input
    is named by its path, such as ``filter.net_volume``; ``circuit[path]`` is its text as written.

    Examples
    --------
    >>> import fillmark as fm
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> bus["filter.net_volume"]
    '0.45(3) L'
    >>> bus.replace({"filter.net_volume": "0.40(5) L"})["filter.net_volume"]
    '0.40(5) L'
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __getitem__(self, path: str, /) -> Any: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def columns(self, /) -> dict[str, Any]:
        """
        Every scalar input.

        Returns
        -------
        dict of str to numpy.ndarray
            ``path``, ``nominal``, ``standard_uncertainty`` and ``unit`` of the two (SI, temperatures in degC).
        """

    @staticmethod
    def demo(name: str) -> Circuit:
        """
        One of the invented demo circuits; `demos` lists them.

        Parameters
        ----------
        name : str
            Such as ``"shuttle-bus"``.

        Returns
        -------
        Circuit
            Invented for teaching; no real engine stands behind it.

        Raises
        ------
        CircuitError
            If there is no demo of that name; the message lists them.

        Examples
        --------
        >>> import fillmark as fm
        >>> fm.Circuit.demo("deck-generator")
        Circuit.demo('deck-generator')
        """

    @staticmethod
    def from_book(
        *,
        service_with_filter_l: Quantity,
        service_without_filter_l: Quantity,
        span_l: Quantity | None = None,
        span_mm: Quantity | None = None,
        residue_l: Quantity | None = None,
        name: str = "service sheet",
    ) -> Circuit:
        """
        Builds a circuit from a service sheet: constant area, level ground only, one plug.

        The volume at MAX is `service with filter − filter + residue`; the filter is the difference of the two capacities.

        Parameters
        ----------
        service_with_filter_l, service_without_filter_l : quantity
            Refill after a drain, with and without filter change [L], 0.05 to 1000.
        span_l : quantity, optional
            MIN to MAX [L]; 0.21 of the volume at MAX where not known (published cases: 0.17 to 0.25).
        span_mm : quantity, optional
            Distance between the marks [mm]; 25 where not known (judgement).
        residue_l : quantity, optional
            What one drain leaves [L]; 0.09 of the service capacity where not known (judgement).
        name : str, optional
            Name of the circuit.

        Returns
        -------
        Circuit
            Read by an upright stick standing on its floor.

        Raises
        ------
        CircuitError, QuantityError
            If the figures contradict each other or are out of range.

        Examples
        --------
        >>> import fillmark as fm
        >>> sheet = fm.Circuit.from_book(service_with_filter_l="5.7 US qt", service_without_filter_l="5.3 US qt")
        >>> sheet["filter.net_volume"]
        '0.378541 L'
        """

    @staticmethod
    def load(path: str | PathLike[str]) -> Circuit:
        """
        Reads a circuit from a TOML or JSON file; files it names are found beside it.

        Parameters
        ----------
        path : path-like
            The file.

        Returns
        -------
        Circuit
            With values and units kept as written.

        Raises
        ------
        FileError
            If the file, or one it names, cannot be read.
        CircuitError, QuantityError, GeometryError
            With the line, the key and the nearest known key, or what does not fit together.
        """

    @staticmethod
    def loads(text: str, *, files: dict[str, SupportsGetItem[int, SupportsIndex]] | None = None) -> Circuit:
        """
        Reads a circuit from TOML or JSON text.

        Parameters
        ----------
        text : str
            The circuit.
        files : mapping of str to bytes, optional
            Contents of the files it names.

        Returns
        -------
        Circuit
            With values and units kept as written.

        Raises
        ------
        FileError
            If the text names a file that `files` does not hold.
        CircuitError, QuantityError, GeometryError
            With the line, the key and the nearest known key, or what does not fit together.

        Examples
        --------
        >>> import fillmark as fm
        >>> bus = fm.Circuit.demo("deck-generator")
        >>> fm.Circuit.loads(bus.to_toml()) == bus
        True
        """

    @property
    def max_mm(self, /) -> float:
        """
        The upper mark, from the tip along the blade, nominal [mm].
        """

    @property
    def min_mm(self, /) -> float:
        """
        The lower mark, from the tip along the blade, nominal [mm].
        """

    @property
    def ml_per_mm(self, /) -> float:
        """
        Volume per length of blade at MAX at the reference attitude [mL/mm]: free surface times the rise of the blade.
        """

    @property
    def name(self, /) -> str:
        """
        Name of the circuit.
        """

    @property
    def note(self, /) -> str | None:
        """
        Remark in plain words, such as where the figures come from.
        """

    @property
    def reference_attitude(self, /) -> Attitude:
        """
        The attitude at which the marks are true.
        """

    def replace(self, /, changes: dict[str, Any]) -> Circuit:
        """
        A copy with some inputs changed.

        Parameters
        ----------
        changes : mapping
            From the path of an input to its new value: text with a unit, or an `Uncertain`.

        Returns
        -------
        Circuit
            The circuit itself stays as it is.

        Raises
        ------
        CircuitError
            If a path names no input (the nearest is named), or the changed circuit does not fit together.

        Examples
        --------
        >>> import fillmark as fm
        >>> bus = fm.Circuit.demo("shuttle-bus")
        >>> thin = bus.replace({"fluid.kv40": "60 mm2/s", "instruments.jug.scale": 1.02})
        >>> thin == bus
        False
        """

    @property
    def stick_path_mm(self, /) -> list[tuple[float, float, float]]:
        """
        Points of the stick's path in the body frame, tip first [mm].
        """

    @property
    def sump(self, /) -> Sump:
        """
        The sump.
        """

    def to_json(self, /) -> str:
        """
        The circuit as JSON, for exchange; values and units as written.

        Returns
        -------
        str
            `Circuit.loads` reads it back.
        """

    def to_toml(self, /) -> str:
        """
        The circuit as TOML, for people; values and units as written.

        Returns
        -------
        str
            `Circuit.loads` reads it back.
        """

@final
class ClosePlug(Event):
    """
    Puts the plug back.

    Parameters
    ----------
    plug : str, optional
        Name of the plug, if it is to be checked against the one that is open.
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude, optional
        How the vehicle stands for this event only.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.ClosePlug()
    ClosePlug()
    """

    def __new__(
        cls, /, plug: str | None = None, *, label: str | None = None, attitude: Attitude | None = None
    ) -> ClosePlug: ...

@final
class Drain(Event):
    """
    Opens the plug, waits, closes it.

    Parameters
    ----------
    minutes, seconds, hours : quantity
        How long it is left open; exactly one of the three.
    temperature_c : quantity, optional
        Temperature of everything in the circuit from now on [°C].
    plug : str, optional
        Name of the plug; needed only where the circuit has several.
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude, optional
        How the vehicle stands for this event only.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Drain(minutes=10, temperature_c=60)
    Drain(minutes='10 min', temperature_c='60 degC')
    """

    def __new__(
        cls,
        /,
        minutes: Given | None = None,
        *,
        seconds: Given | None = None,
        hours: Given | None = None,
        temperature_c: Given | None = None,
        plug: str | None = None,
        label: str | None = None,
        attitude: Attitude | None = None,
    ) -> Drain: ...

@final
class Draws:
    """
    Draws of one quantity: mean, standard uncertainty and coverage intervals (JCGM 101:2008, clause 7).

    Parameters
    ----------
    values : sequence of float
        At least one, all finite.

    Examples
    --------
    >>> import fillmark as fm
    >>> d = fm.Draws([5.0, 1.0, 3.0, 2.0, 4.0])
    >>> d.mean, d.quantile(0.5), d.interval(0.5)
    (3.0, 3.0, (2.0, 4.0))
    """

    def __array__(self, /, dtype: Any | None, copy: bool | None) -> Any: ...
    def __eq__(self, value: object, /) -> bool: ...
    def __len__(self, /) -> int: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(cls, /, values: Quantities) -> Draws: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def interval(self, /, probability: SupportsFloat | SupportsIndex = 0.95) -> tuple[float, float]:
        """
        Probabilistically symmetric coverage interval.

        Parameters
        ----------
        probability : float
            Greater than 0, less than 1.

        Returns
        -------
        tuple of float
            Its two ends.

        Raises
        ------
        QuantityError
            If the probability is out of range.
        """

    @property
    def mean(self, /) -> float:
        """
        Mean of the draws.
        """

    def quantile(self, /, probability: SupportsFloat | SupportsIndex) -> float:
        """
        Quantile of the draws, interpolated between order statistics.

        Parameters
        ----------
        probability : float
            0 to 1.

        Returns
        -------
        float
            The value that this share of the draws does not exceed.
        """

    @property
    def standard_uncertainty(self, /) -> float:
        """
        Standard deviation of the draws.
        """

    def values(self, /) -> Column:
        """
        The draws in order, as a new array.
        """

@disjoint_base
class Event:
    """
    One step of a service: what is done, with an optional label and an attitude that holds for this event only.

    Made by its kinds, such as `Drain`, `Pour` or `Read`; immutable, compared by value.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[str]]: ...
    def __repr__(self, /) -> str: ...
    @staticmethod
    def from_json(text: str) -> Event:
        """
        An event from its JSON text, as `to_json` gives it.

        Parameters
        ----------
        text : str
            One event.

        Returns
        -------
        Event
            Of the kind that the text says.

        Raises
        ------
        CircuitError
            With the line, the key and the nearest known key.

        Examples
        --------
        >>> import fillmark as fm
        >>> fm.Event.from_json(fm.Read(label="first dip").to_json())
        Read(label='first dip')
        """

    @property
    def label(self, /) -> str | None:
        """
        The label, if any.
        """

    def to_json(self, /) -> str:
        """
        The event as JSON text.

        Returns
        -------
        str
            Values and units as written.
        """

@final
class FitFilter(Event):
    """
    Fits a new filter.

    Parameters
    ----------
    primed_l : quantity, optional
        New oil put into it beforehand [L]; it is part of the amount to pour, never extra.
    temperature_c : quantity, optional
        Temperature of that oil [°C]; the reference temperature where not stated.
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude, optional
        How the vehicle stands for this event only.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.FitFilter(primed_l=0.2)
    FitFilter(primed_l='0.2 L')
    """

    def __new__(
        cls,
        /,
        primed_l: Given | None = None,
        *,
        temperature_c: Given | None = None,
        label: str | None = None,
        attitude: Attitude | None = None,
    ) -> FitFilter: ...

@final
class Fluid:
    """
    A fluid: what it weighs and how thick it is at a temperature. Immutable.

    Made with `Fluid.oil`.

    Examples
    --------
    >>> import fillmark as fm
    >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    >>> round(4.5 * oil.volume_correction(temperature_c=20.0) / oil.volume_correction(temperature_c=90.0), 3)
    4.745
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def density_15c_kg_m3(self, /) -> float:
        """
        Density at 15 °C [kg/m3].
        """

    @overload
    def density_kg_m3(self, /, *, temperature_c: Number) -> float:
        """
        Density at a temperature.

        Parameters
        ----------
        temperature_c : quantity or array
            Temperature [°C], -50 to 150.

        Returns
        -------
        float or ndarray
            Density of the argument's shape [kg/m3].

        Raises
        ------
        FluidError
            If a temperature is outside the range.

        Examples
        --------
        >>> import fillmark as fm
        >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
        >>> round(oil.density_kg_m3(temperature_c=15.0), 6)
        868.0
        """

    @overload
    def density_kg_m3(self, /, *, temperature_c: Numbers) -> NDArray[float64]: ...
    @overload
    def density_kg_m3(self, /, *, temperature_c: SupportsTo) -> Any: ...
    @overload
    def dynamic_viscosity_mpa_s(self, /, *, temperature_c: Number) -> float:
        """
        Dynamic viscosity at a temperature: kinematic viscosity times density.

        Parameters
        ----------
        temperature_c : quantity or array
            Temperature [°C], -50 to 150.

        Returns
        -------
        float or ndarray
            Dynamic viscosity of the argument's shape [mPa.s].

        Raises
        ------
        FluidError
            If a temperature is outside the range.

        Examples
        --------
        >>> import fillmark as fm
        >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
        >>> round(oil.dynamic_viscosity_mpa_s(temperature_c=40.0), 1)
        81.0
        """

    @overload
    def dynamic_viscosity_mpa_s(self, /, *, temperature_c: Numbers) -> NDArray[float64]: ...
    @overload
    def dynamic_viscosity_mpa_s(self, /, *, temperature_c: SupportsTo) -> Any: ...
    @property
    def edition(self, /) -> str | None:
        """
        Edition of API MPMS 11.1 that the volume correction follows; None for a fluid that is no oil.
        """

    @overload
    def kinematic_viscosity_mm2_s(self, /, *, temperature_c: Number) -> float:
        """
        Kinematic viscosity at a temperature, by ASTM D341 through the values at 40 °C and 100 °C.

        Parameters
        ----------
        temperature_c : quantity or array
            Temperature [°C], -70 to 370.

        Returns
        -------
        float or ndarray
            Kinematic viscosity of the argument's shape [mm2/s].

        Raises
        ------
        FluidError
            If a temperature or the viscosity there is outside what ASTM D341 covers.

        Examples
        --------
        >>> import fillmark as fm
        >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
        >>> round(oil.kinematic_viscosity_mm2_s(temperature_c=100.0), 6)
        14.3
        """

    @overload
    def kinematic_viscosity_mm2_s(self, /, *, temperature_c: Numbers) -> NDArray[float64]: ...
    @overload
    def kinematic_viscosity_mm2_s(self, /, *, temperature_c: SupportsTo) -> Any: ...
    @property
    def kv100_mm2_s(self, /) -> float | None:
        """
        Kinematic viscosity at 100 °C [mm2/s]; None for a fluid without viscosity.
        """

    @property
    def kv40_mm2_s(self, /) -> float | None:
        """
        Kinematic viscosity at 40 °C [mm2/s]; None for a fluid without viscosity.
        """

    @staticmethod
    def oil(
        *,
        density_15c_kg_m3: Quantity | None = None,
        kv40_mm2_s: Quantity | None = None,
        kv100_mm2_s: Quantity | None = None,
        grade: str | None = None,
        edition: str = "2004",
    ) -> Fluid:
        """
        Lubricating oil, from its data sheet or from its grade alone.

        Give density and both viscosities, or a grade: then each is the middle of what the grade leaves open.

        Parameters
        ----------
        density_15c_kg_m3 : quantity
            Density at 15 °C [kg/m3]; 800.9 to 1163.5 at 60 °F.
        kv40_mm2_s, kv100_mm2_s : quantity
            Kinematic viscosity at 40 °C and 100 °C [mm2/s]; the second is the smaller.
        grade : str
            Label such as ``"10W-40"`` (SAE J300), ``"80W-90"`` (SAE J306) or ``"ISO VG 46"`` (ISO 3448).
        edition : {"2004", "1980"}
            Edition of API MPMS 11.1, the volume correction.

        Raises
        ------
        FluidError
            If a value is outside what the relations cover, the oil would be thicker hot than cold, or the grade is
            unknown.
        TypeError
            If neither a grade nor all three numbers are given, or both.

        Examples
        --------
        >>> import fillmark as fm
        >>> fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
        Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
        >>> round(fm.Fluid.oil(grade="10W-40").kv100_mm2_s, 6)
        14.4
        """

    @property
    def viscosity_index(self, /) -> float:
        """
        Viscosity index of ASTM D2270, not rounded [1].

        The standard reports the nearest whole number. A `FluidError` if the viscosity at 100 °C is below 2 mm2/s.
        """

    @overload
    def volume_correction(self, /, *, temperature_c: Number) -> float:
        """
        Volume at 15 °C over volume at a temperature: below 1 when warmer.

        API MPMS 11.1 for the lubricating-oil group.

        Parameters
        ----------
        temperature_c : quantity or array
            Temperature [°C], -50 to 150.

        Returns
        -------
        float or ndarray
            Factor of the argument's shape [1].

        Raises
        ------
        FluidError
            If a temperature is outside the range.

        Examples
        --------
        >>> import fillmark as fm
        >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
        >>> oil.volume_correction(temperature_c=[15.0, 90.0]).round(3)
        array([1.   , 0.945])
        """

    @overload
    def volume_correction(self, /, *, temperature_c: Numbers) -> NDArray[float64]: ...
    @overload
    def volume_correction(self, /, *, temperature_c: SupportsTo) -> Any: ...

@final
class Ledger:
    """
    Who holds what: masses and volumes by row, place and component. Nothing in it is computed by difference.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def columns(self, /) -> dict[str, Any]:
        """
        One entry per row and place.

        Returns
        -------
        dict of str to numpy.ndarray
            ``row`` (0 the start), ``event``, ``place``; ``old_oil_kg`` to ``water_kg``; ``temperature_c``; ``volume_l`` at that
            temperature and ``volume_15c_l``.
        """

    @property
    def imbalance(self, /) -> float:
        """
        The largest imbalance over all rows and components, as a share of all that was ever in.
        """

@final
class OpenPlug(Event):
    """
    Takes a plug out: what stands above its heel leaves, now and after every later event, until `ClosePlug`.

    Parameters
    ----------
    plug : str, optional
        Name of the plug; needed only where the circuit has several.
    temperature_c : quantity, optional
        Temperature of everything in the circuit from now on [°C].
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude, optional
        How the vehicle stands for this event only.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.OpenPlug(temperature_c=60)
    OpenPlug(temperature_c='60 degC')
    """

    def __new__(
        cls,
        /,
        plug: str | None = None,
        *,
        temperature_c: Given | None = None,
        label: str | None = None,
        attitude: Attitude | None = None,
    ) -> OpenPlug: ...

@final
class Plan:
    """
    A first pour with what to expect of it. Made by `plan_refill`; prints as a page.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def cautions(self, /) -> list[str]:
        """
        Cautions to print with the plan.
        """

    @property
    def circuit(self, /) -> Circuit:
        """
        The circuit planned for.
        """

    @property
    def first_pour_l(self, /) -> float:
        """
        How much to pour first, as the instrument says [L].
        """

    @property
    def ml_per_mm(self, /) -> float:
        """
        Volume per length of blade at MAX [mL/mm].
        """

    @property
    def probability_over_max(self, /) -> float:
        """
        Share of the draws that end over MAX after the first pour.
        """

    @property
    def readings(self, /) -> list[PredictedReading]:
        """
        Readings to expect: ``before start``, those of `then`, and ``after`` where `then` takes none.
        """

    @property
    def residue_l(self, /) -> Draws:
        """
        What the circuit held before the pour [L]: heel, film and what stays in stores, and the filter if it was kept.
        """

    @property
    def risk_over_max(self, /) -> float:
        """
        The risk accepted.
        """

@final
class Pour(Event):
    """
    Pours new oil into the sump.

    Parameters
    ----------
    volume_l : quantity, optional
        How much, as the instrument says [L].
    mass_kg : quantity, optional
        How much by weight [kg], instead of a volume.
    temperature_c : quantity, optional
        Temperature of the oil [°C]; the reference temperature where not stated.
    measured_with : str, optional
        Instrument of the circuit it is measured with; pours that share one share its error.
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude, optional
        How the vehicle stands for this event only.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Pour(6.9, measured_with="jug")
    Pour('6.9 L', measured_with='jug')
    """

    def __new__(
        cls,
        /,
        volume_l: Given | None = None,
        *,
        mass_kg: Given | None = None,
        temperature_c: Given | None = None,
        measured_with: str | None = None,
        label: str | None = None,
        attitude: Attitude | None = None,
    ) -> Pour: ...

@final
class PredictedReading:
    """
    One reading over all draws.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def above_blade(self, /) -> int:
        """
        Draws in which the surface stood above the blade.
        """

    @property
    def below_tip(self, /) -> int:
        """
        Draws in which the stick came out dry.
        """

    @property
    def fraction(self, /) -> Draws:
        """
        0 at MIN, 1 at MAX.
        """

    @property
    def label(self, /) -> str | None:
        """
        Label of the `Read` event, if any.
        """

    @property
    def litres_from_max(self, /) -> Draws:
        """
        Volume from MAX at the attitude of the reading [L].
        """

    @property
    def mm(self, /) -> Draws:
        """
        Distance from the tip along the blade [mm].
        """

@final
class Prediction:
    """
    Readings of a service with their uncertainty. Made by `predict`.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def bent(self, /) -> int:
        """
        Draws in which an amount did not fit and was bent: excess to the floor, a withdrawal or prime cut to what there is.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        One entry per draw.

        Returns
        -------
        dict of str to numpy.ndarray
            ``over_max``, ``drained_back_l``, and for every reading ``LABEL mm``, ``LABEL fraction``, ``LABEL litres_from_max``
            (its number where it has no label).
        """

    @property
    def drained_back_l(self, /) -> Draws:
        """
        Volume of the sump at the end, drained back, filter full, in the reference condition [L].
        """

    @property
    def draws(self, /) -> int:
        """
        Number of draws.
        """

    @property
    def probability_over_max(self, /) -> float:
        """
        Share of the draws that end over MAX: true, noise-free, drained back, filter full, in the reference condition.
        """

    def reading(self, /, label: str) -> PredictedReading:
        """
        The one reading of this label.

        Parameters
        ----------
        label : str
            As given to the `Read` event.

        Returns
        -------
        PredictedReading
            With its draws.

        Raises
        ------
        ServiceError
            If no reading, or more than one, carries the label.
        """

    @property
    def readings(self, /) -> list[PredictedReading]:
        """
        Every reading in order.
        """

    @property
    def seed(self, /) -> int:
        """
        Seed of the streams.
        """

@final
class Read(Event):
    """
    Reads the stick.

    Parameters
    ----------
    label : str, optional
        Name under which the reading is found again.
    attitude : Attitude, optional
        How the vehicle stands for this reading only.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Read(label="first dip")
    Read(label='first dip')
    """

    def __new__(cls, /, *, label: str | None = None, attitude: Attitude | None = None) -> Read: ...

@final
class Reading:
    """
    One reading of the stick.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def flag(self, /) -> str | None:
        """
        ``"below tip"`` (a dry stick), ``"above blade"``, or None.
        """

    @property
    def fraction(self, /) -> float:
        """
        0 at MIN, 1 at MAX.
        """

    @property
    def label(self, /) -> str | None:
        """
        Label of the `Read` event, if any.
        """

    @property
    def litres_from_max(self, /) -> float:
        """
        Volume from MAX at the attitude of the reading [L]; negative below MAX.
        """

    @property
    def mm(self, /) -> float:
        """
        Distance from the tip along the blade [mm].
        """

@final
class RemoveFilter(Event):
    """
    Takes the filter off, with what it holds.

    Parameters
    ----------
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude, optional
        How the vehicle stands for this event only.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.RemoveFilter()
    RemoveFilter()
    """

    def __new__(cls, /, *, label: str | None = None, attitude: Attitude | None = None) -> RemoveFilter: ...

@final
class Rest(Event):
    """
    Waits with the engine stopped: the stores return to the sump.

    Parameters
    ----------
    minutes, seconds, hours : quantity
        How long; exactly one of the three.
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude, optional
        How the vehicle stands for this event only.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Rest(hours=12)
    Rest(minutes='12 h')
    """

    def __new__(
        cls,
        /,
        minutes: Given | None = None,
        *,
        seconds: Given | None = None,
        hours: Given | None = None,
        label: str | None = None,
        attitude: Attitude | None = None,
    ) -> Rest: ...

@final
class Row:
    """
    The state after one event of a timeline.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def event(self, /) -> Event | None:
        """
        What was done; None for the start.
        """

    @property
    def level_mm(self, /) -> float:
        """
        Level of the sump above its lowest point at the attitude of the event [mm].
        """

    @property
    def state(self, /) -> State:
        """
        Where everything is.
        """

    @property
    def sump_l(self, /) -> float:
        """
        Volume in the sump at its own temperature [L].
        """

@final
class Run(Event):
    """
    Runs the engine, then stops it: everything mixes, the filter fills, the stores take their hold-up.

    Parameters
    ----------
    minutes, seconds, hours : quantity
        How long; exactly one of the three.
    temperature_c : quantity, optional
        Temperature of everything in the circuit at the end [°C].
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude, optional
        How the vehicle stands for this event only.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Run(minutes=1)
    Run(minutes='1 min')
    """

    def __new__(
        cls,
        /,
        minutes: Given | None = None,
        *,
        seconds: Given | None = None,
        hours: Given | None = None,
        temperature_c: Given | None = None,
        label: str | None = None,
        attitude: Attitude | None = None,
    ) -> Run: ...

@final
class State:
    """
    Where the liquid is: masses, temperature and age of every place.

    Parameters
    ----------
    json : str
        As `to_json` gives it.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(cls, /, json: str) -> State: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def columns(self, /) -> dict[str, Any]:
        """
        One entry per place.

        Returns
        -------
        dict of str to numpy.ndarray
            ``place``; ``old_oil_kg``, ``new_oil_kg``, ``fuel_kg``, ``coolant_kg``, ``water_kg``; ``temperature_c``; ``age``
            (of a film, in units of its time scale).
        """

    @property
    def places(self, /) -> list[str]:
        """
        Path of every place, such as ``sump`` or ``stores.head.pool``.
        """

    def to_json(self, /) -> str:
        """
        The state as JSON text.

        Returns
        -------
        str
            ``State(text)`` reads it back.
        """

@final
class Sump:
    """
    The liquid space that is filled: asked for its volume and level at any attitude. Immutable.

    A level is the height of the free surface above the sump's lowest point at that attitude, along *up*. Made by one of
    its shapes, such as `Sump.box` or `Sump.from_stl`.

    Examples
    --------
    >>> import fillmark as fm
    >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    >>> round(pan.volume_l(level_mm=50.0), 9)
    3.0
    >>> pan.level_mm(volume_l=[0.0, 3.0, 6.0]).round(6)
    array([  0.,  50., 100.])
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @staticmethod
    def box(*, length_mm: Quantity, width_mm: Quantity, height_mm: Quantity) -> Sump:
        """
        A box with its origin in the middle of the floor.

        Parameters
        ----------
        length_mm, width_mm, height_mm : quantity
            Sides along x, y and z [mm], 1 to 20 000.

        Returns
        -------
        Sump
            Of ``length width height``.

        Raises
        ------
        QuantityError, GeometryError
            If a side is outside its range.

        Examples
        --------
        >>> import fillmark as fm
        >>> fm.Sump.box(length_mm=300.0, width_mm="20 cm", height_mm=100.0)
        Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        """

    @property
    def capacity_l(self, /) -> float:
        """
        Volume of the whole liquid space [L].
        """

    @property
    def faces(self, /) -> Table | None:
        """
        Corner numbers of each triangle, shape (m, 3); None for a sump known by a table or a span.
        """

    @overload
    def free_surface_mm2(self, /, *, level_mm: Number, attitude: Attitude | None = None) -> float:
        """
        Area of the free surface at a level: the derivative of the volume.

        Parameters
        ----------
        level_mm : quantity or array
            Level above the lowest point at this attitude [mm], 0 to the height there.
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        float or ndarray
            Area of the level's shape [mm2]; just above a level at which it jumps, just below the top.

        Raises
        ------
        GeometryError
            If a level is outside the sump, or the sump has no plan form and is not level.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> round(pan.free_surface_mm2(level_mm=10.0), 6)
        60000.0
        """

    @overload
    def free_surface_mm2(self, /, *, level_mm: Numbers, attitude: Attitude | None = None) -> NDArray[float64]: ...
    @overload
    def free_surface_mm2(self, /, *, level_mm: SupportsTo, attitude: Attitude | None = None) -> Any: ...
    @staticmethod
    def from_mesh(*, vertices_mm: ArrayLike, faces: ArrayLike) -> Sump:
        """
        A sump with the shape of a closed triangle mesh.

        Parameters
        ----------
        vertices_mm : array of float, shape (n, 3)
            Corners in the body frame [mm].
        faces : array of int, shape (m, 3)
            Corner numbers of each triangle, counter-clockwise seen from outside.

        Returns
        -------
        Sump
            Of the liquid space inside.

        Raises
        ------
        GeometryError
            If the mesh is open, inside out or otherwise no closed surface, with the place.

        Examples
        --------
        >>> import fillmark as fm
        >>> corners = [(0, 0, 0), (100, 0, 0), (0, 100, 0), (0, 0, 100)]
        >>> wedge = fm.Sump.from_mesh(vertices_mm=corners, faces=[(0, 2, 1), (0, 1, 3), (0, 3, 2), (1, 2, 3)])
        >>> round(wedge.capacity_l, 9)
        0.166666667
        """

    @staticmethod
    def from_span(
        *, span_l: Quantity, span_mm: Quantity, at_max_l: Quantity, capacity_l: Quantity | None = None
    ) -> Sump:
        """
        A sump known by its marks alone: straight-sided, with the free surface that the span implies. Level ground only.

        Parameters
        ----------
        span_l : quantity
            Volume from MIN to MAX [L].
        span_mm : quantity
            Height from MIN to MAX, along *up* [mm].
        at_max_l : quantity
            Volume at MAX [L]; at least the span.
        capacity_l : quantity
            Volume to the brim [L]; one span above MAX where it is not known (judgement).

        Returns
        -------
        Sump
            Level 0 is where such a sump would be empty.

        Raises
        ------
        QuantityError
            If a value is outside its range.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.from_span(span_l=1.5, span_mm=25.0, at_max_l=6.0)
        >>> round(pan.level_mm(volume_l=6.0) - pan.level_mm(volume_l=4.5), 9)
        25.0
        """

    @staticmethod
    def from_stl(path: str | PathLike[str], *, unit: str = "mm") -> Sump:
        """
        A sump drawn in an STL file, text or binary.

        Parameters
        ----------
        path : path-like
            The file.
        unit : {"mm", "cm", "m", "in"}
            Unit of its coordinates, which the format does not say.

        Returns
        -------
        Sump
            Its pickle holds the file's bytes, so it needs no file.

        Raises
        ------
        FileError
            If the file cannot be read.
        GeometryError
            If the mesh is open, inside out or otherwise no closed surface, with the place.
        """

    @staticmethod
    def from_stl_bytes(data: SupportsGetItem[int, SupportsIndex], *, unit: str = "mm") -> Sump:
        """
        A sump from the bytes of an STL file, text or binary.

        Parameters
        ----------
        data : bytes
            What the file holds.
        unit : {"mm", "cm", "m", "in"}
            Unit of its coordinates, which the format does not say.

        Returns
        -------
        Sump
            With the vertices where the file has them.

        Raises
        ------
        GeometryError
            If the mesh is open, inside out or otherwise no closed surface, with the place.
        """

    @staticmethod
    def from_table(*, level_mm: Quantities, volume_l: Quantities) -> Sump:
        """
        A sump known by a strapping table, straight between its rows. It serves level ground only.

        Parameters
        ----------
        level_mm : array
            Levels, rising [mm].
        volume_l : array
            Volume at each level, rising [L].

        Returns
        -------
        Sump
            Between the first and the last row.

        Raises
        ------
        GeometryError
            If there are fewer than two rows, or a row does not rise.
        ValueError
            If the two have different lengths.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.from_table(level_mm=[0.0, 40.0, 90.0], volume_l=[0.0, 2.0, 6.0])
        >>> round(pan.volume_l(level_mm=65.0), 9)
        4.0
        """

    def height_mm(self, /, *, attitude: Attitude | None = None) -> float:
        """
        Height of the sump at an attitude: its highest level.

        Parameters
        ----------
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        float
            Highest point above lowest point, along *up* [mm].

        Raises
        ------
        GeometryError
            If the sump has no plan form and is not level.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> round(pan.height_mm(attitude=fm.Attitude(nose_up_deg=2.0)), 3)
        110.409
        """

    @overload
    def level_mm(self, /, *, volume_l: Number, attitude: Attitude | None = None) -> float:
        """
        Level at which a volume stands, one common level everywhere.

        Parameters
        ----------
        volume_l : quantity or array
            Volume [L], 0 to the capacity.
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        float or ndarray
            Level above the lowest point at this attitude, of the volume's shape [mm].

        Raises
        ------
        GeometryError
            If a volume is outside the capacity, or the sump has no plan form and is not level.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> round(pan.level_mm(volume_l=3.0, attitude=fm.Attitude(nose_up_deg=2.0)), 3)
        55.204
        """

    @overload
    def level_mm(self, /, *, volume_l: Numbers, attitude: Attitude | None = None) -> NDArray[float64]: ...
    @overload
    def level_mm(self, /, *, volume_l: SupportsTo, attitude: Attitude | None = None) -> Any: ...
    @staticmethod
    def tapered(
        *,
        floor_mm: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
        top_mm: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
        height_mm: Quantity,
    ) -> Sump:
        """
        A tapered box: rectangular floor and top joined by plane walls, its origin in the middle of the floor.

        Parameters
        ----------
        floor_mm, top_mm : tuple of float
            Length along x and width along y of floor and top [mm], 1 to 20 000 each.
        height_mm : quantity
            Height along z [mm], 1 to 20 000.

        Returns
        -------
        Sump
            An obelisk: ``h (A1 + 4 Am + A2) / 6``, with the area half-way up in the middle (prismatoid formula).

        Raises
        ------
        QuantityError, GeometryError
            If a side is outside its range.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.tapered(floor_mm=(260.0, 150.0), top_mm=(300.0, 200.0), height_mm=90.0)
        >>> round(pan.capacity_l, 9)
        4.425
        """

    @property
    def vertices_mm(self, /) -> Table | None:
        """
        Corners of the mesh in the body frame, shape (n, 3) [mm]; None for a sump known by a table or a span.
        """

    @overload
    def volume_l(self, /, *, level_mm: Number, attitude: Attitude | None = None) -> float:
        """
        Volume below a level.

        Parameters
        ----------
        level_mm : quantity or array
            Level above the lowest point at this attitude [mm], 0 to the height there.
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        float or ndarray
            Volume of the level's shape [L].

        Raises
        ------
        GeometryError
            If a level is outside the sump, or the sump has no plan form and is not level.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> pan.volume_l(level_mm=[0.0, 50.0]).round(9)
        array([0., 3.])
        """

    @overload
    def volume_l(self, /, *, level_mm: Numbers, attitude: Attitude | None = None) -> NDArray[float64]: ...
    @overload
    def volume_l(self, /, *, level_mm: SupportsTo, attitude: Attitude | None = None) -> Any: ...

@final
class Tilt(Event):
    """
    Stands the vehicle so from now on.

    Parameters
    ----------
    to : Attitude
        The new attitude.
    label : str, optional
        Name under which its row is found again.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Tilt(fm.Attitude(nose_up_deg=2.0))
    Tilt(Attitude(nose_up_deg=2.0))
    """

    def __new__(cls, /, to: Attitude, *, label: str | None = None) -> Tilt: ...

@final
class Timeline:
    """
    What happened in a service, row by row. Made by `simulate`; prints as a table.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def circuit(self, /) -> Circuit:
        """
        The circuit served.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        One entry per row.

        Returns
        -------
        dict of str to numpy.ndarray
            ``event``, ``label``, ``level_mm``, ``sump_l``, and ``mm``, ``fraction`` of the reading (NaN where none).
        """

    @property
    def events(self, /) -> list[Event]:
        """
        The events carried out.
        """

    @property
    def ledger(self, /) -> Ledger:
        """
        Masses and volumes by row, place and component.
        """

    def reading(self, /, label: str) -> Reading:
        """
        The one reading of this label.

        Parameters
        ----------
        label : str
            As given to the `Read` event.

        Returns
        -------
        Reading
            What the stick said.

        Raises
        ------
        ServiceError
            If no reading, or more than one, carries the label.
        """

    @property
    def readings(self, /) -> list[Reading]:
        """
        The readings in order.
        """

    @property
    def rows(self, /) -> list[Row]:
        """
        The start, then one row per event.
        """

    @property
    def v_drained_l(self, /) -> float:
        """
        Volume the sump would hold at the end, drained back, filter full, in the reference condition [L].
        """

    @property
    def v_max_l(self, /) -> float:
        """
        Volume below MAX in the reference condition [L].
        """

@final
class Uncertain:
    """
    A value with its uncertainty, in the words of JCGM 100.

    Any quantity of a circuit or an event may be one. Each has a text, which files use as well.

    Parameters
    ----------
    text : str
        Such as ``"0.35(5) L"`` (standard uncertainty in the last digits), ``"0.35 +/- 0.10 L k=2"`` (expanded
        uncertainty), ``"0.30 .. 0.40 L"`` (limits), or any form that ``str()`` of an `Uncertain` gives.

    Raises
    ------
    QuantityError
        If the text cannot be read; a ``±`` without its ``k`` is refused.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Uncertain("0.35(5) L").standard_uncertainty
    0.05
    >>> fm.Uncertain.rectangular(0.30, 0.40, "L")
    Uncertain('0.3 .. 0.4 L')
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(cls, /, text: str) -> Uncertain: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @staticmethod
    def lognormal(median: SupportsFloat | SupportsIndex, sigma: SupportsFloat | SupportsIndex, unit: str) -> Uncertain:
        """
        Lognormal distribution: the logarithm is normal.

        Parameters
        ----------
        median : float
            In `unit`.
        sigma : float
            Standard deviation of the natural logarithm.
        unit : str
            Such as ``"L"``.

        Returns
        -------
        Uncertain
        """

    @property
    def nominal(self, /) -> float:
        """
        Nominal value, in the unit of the text: mean, midpoint, or median of a lognormal.
        """

    @staticmethod
    def normal(
        mean: SupportsFloat | SupportsIndex, standard_uncertainty: SupportsFloat | SupportsIndex, unit: str
    ) -> Uncertain:
        """
        Normal distribution (JCGM 101, 6.4.7).

        Parameters
        ----------
        mean : float
            Expectation, in `unit`.
        standard_uncertainty : float
            Above 0, in `unit`.
        unit : str
            Such as ``"L"``, ``"mm"``, ``"US qt"``.

        Returns
        -------
        Uncertain
        """

    @staticmethod
    def rectangular(low: SupportsFloat | SupportsIndex, high: SupportsFloat | SupportsIndex, unit: str) -> Uncertain:
        """
        Rectangular distribution between limits (JCGM 101, 6.4.2).

        Parameters
        ----------
        low, high : float
            The limits, in `unit`.
        unit : str
            Such as ``"L"``.

        Returns
        -------
        Uncertain
        """

    @property
    def standard_uncertainty(self, /) -> float:
        """
        Standard uncertainty, in the unit of the text.
        """

    @staticmethod
    def triangular(
        low: SupportsFloat | SupportsIndex,
        mode: SupportsFloat | SupportsIndex,
        high: SupportsFloat | SupportsIndex,
        unit: str,
    ) -> Uncertain:
        """
        Triangular distribution between limits with its peak at `mode`.

        Parameters
        ----------
        low, mode, high : float
            In `unit`.
        unit : str
            Such as ``"L"``.

        Returns
        -------
        Uncertain
        """

    @staticmethod
    def truncated(
        mean: SupportsFloat | SupportsIndex,
        standard_uncertainty: SupportsFloat | SupportsIndex,
        low: SupportsFloat | SupportsIndex,
        high: SupportsFloat | SupportsIndex,
        unit: str,
    ) -> Uncertain:
        """
        Normal distribution cut off at limits.

        Parameters
        ----------
        mean, standard_uncertainty : float
            Of the distribution before it is cut, in `unit`.
        low, high : float
            The limits, in `unit`.
        unit : str
            Such as ``"L"``.

        Returns
        -------
        Uncertain
        """

    @property
    def unit(self, /) -> str:
        """
        Unit of the text.
        """

@final
class Withdraw(Event):
    """
    Takes liquid out of the sump from above, into the pan.

    Parameters
    ----------
    volume_l : quantity, optional
        How much, as the instrument says [L].
    mass_kg : quantity, optional
        How much by weight [kg], instead of a volume.
    measured_with : str, optional
        Instrument of the circuit it is measured with.
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude, optional
        How the vehicle stands for this event only.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Withdraw(mass_kg=0.25)
    Withdraw(mass_kg='0.25 kg')
    """

    def __new__(
        cls,
        /,
        volume_l: Given | None = None,
        *,
        mass_kg: Given | None = None,
        measured_with: str | None = None,
        label: str | None = None,
        attitude: Attitude | None = None,
    ) -> Withdraw: ...

def build_info() -> dict[str, Any]:
    """
    Says how the compiled part was built.

    Returns
    -------
    dict
        ``version`` (of the crate), ``profile`` (``"release"`` or ``"debug"``) and ``features`` (of the crate).

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.build_info()["version"] == fm.__version__
    True
    """

def demos() -> list[str]:
    """
    Names of the demo circuits.

    Returns
    -------
    list of str
        `Circuit.demo` loads them.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.demos()
    ['shuttle-bus', 'deck-generator']
    """

def plan_refill(
    circuit: Circuit,
    *,
    done: Events,
    then: Events,
    risk_over_max: SupportsFloat | SupportsIndex = 0.05,
    jug_step_l: Quantity | None = None,
    measured_with: str | None = None,
    temperature_c: Given | None = None,
    draws: SupportsIndex = 100000,
    seed: SupportsIndex = 1,
) -> Plan:
    """
    Plans a refill: the largest whole number of jug steps that keeps the risk of ending over MAX.

    Over MAX means: true, noise-free level, drained back, filter full, in the reference condition of the marks. In every draw
    a larger pour ends higher, so bisection over the same draws finds the step exactly.

    Parameters
    ----------
    circuit : Circuit
        What is served.
    done : sequence of Event
        What was done so far, such as `Drain` and `ChangeFilter`.
    then : sequence of Event
        What will be done after pouring, such as `Run`, `Rest` and readings.
    risk_over_max : float
        Accepted probability of ending over MAX, 0.0001 to 0.5.
    jug_step_l : quantity
        Smallest amount the jug measures out [L].
    measured_with : str, optional
        Instrument the oil is measured with; ``jug`` where the circuit has one of that name.
    temperature_c : quantity, optional
        Temperature of the oil poured [°C]; the reference temperature where not stated.
    draws, seed : int
        As in `predict`.

    Returns
    -------
    Plan
        First pour, residue, the readings to expect, cautions.

    Raises
    ------
    EstimateError
        If `done` or `then` pours, or an option is out of range.
    ServiceError
        If the service cannot be carried out.

    Examples
    --------
    >>> import fillmark as fm
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> plan = fm.plan_refill(bus, done=[fm.Drain(minutes=10), fm.ChangeFilter()], then=[fm.Run(minutes=1)], draws=2000)
    >>> plan.probability_over_max <= 0.05
    True
    """

def predict(circuit: Circuit, events: Events, *, draws: SupportsIndex = 100000, seed: SupportsIndex = 1) -> Prediction:
    """
    Predicts the readings of a service, by Monte Carlo (JCGM 101:2008) over every uncertain input.

    Every input is drawn from its own stream, keyed by the seed and the input's path: the same seed gives the same bits for
    any number of threads.

    Parameters
    ----------
    circuit : Circuit
        What is served.
    events : sequence of Event
        What is done, in order.
    draws : int
        Number of draws, 1 to 100 million.
    seed : int
        Seed of every stream, 0 to 2**64 - 1.

    Returns
    -------
    Prediction
        Readings with their uncertainty, if the stated uncertainties are right.

    Raises
    ------
    ServiceError
        If the service cannot be carried out at nominal values.
    EstimateError
        If an option is out of range, or an attitude is stated with an uncertainty.

    Examples
    --------
    >>> import fillmark as fm
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> p = fm.predict(bus, [fm.Read(label="dip")], draws=1000, seed=1)
    >>> abs(p.reading("dip").fraction.mean - 1.0) < 0.1
    True
    """

def simulate(circuit: Circuit, events: Events) -> Timeline:
    """
    Carries a service out once, every input at its nominal value.

    The start is the default one: at MAX in the reference condition, old oil.

    Parameters
    ----------
    circuit : Circuit
        What is served.
    events : sequence of Event
        What is done, in order.

    Returns
    -------
    Timeline
        The state after every event, the readings and the ledger.

    Raises
    ------
    ServiceError
        If an event cannot be carried out in this order or amount; the message names the event.

    Examples
    --------
    >>> import fillmark as fm
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> line = fm.simulate(bus, [fm.Drain(minutes=10), fm.Pour(6.5), fm.Read(label="dip")])
    >>> 0.0 < line.reading("dip").fraction < 1.0
    True
    """
