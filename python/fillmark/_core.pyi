# Written by `make stubs` from the Rust sources; do not edit.
"""
Compiled part of fillmark.
"""

from os import PathLike
from typing import Any, SupportsFloat, SupportsIndex, final, overload

from _typeshed import SupportsGetItem
from fillmark._types import (
    Column,
    Correlations,
    Ends,
    EventIterator,
    Events,
    FloatOrArray,
    Given,
    Grid,
    Inputs,
    Model,
    Number,
    Numbers,
    Outlets,
    Progress,
    Quantities,
    Quantity,
    SupportsTo,
    Table,
    VolumesByBasin,
)
from numpy import float64
from numpy.typing import ArrayLike, NDArray
from typing_extensions import disjoint_base

__all__ = [
    "AirLock",
    "Assessment",
    "Attitude",
    "Band",
    "Basin",
    "Basins",
    "Calibration",
    "Cause",
    "ChangeFilter",
    "Check",
    "Circuit",
    "ClosePlug",
    "Correction",
    "DipStudy",
    "Drain",
    "DrainCurve",
    "DrainFlow",
    "Draws",
    "EmptyingTime",
    "End",
    "Event",
    "Finding",
    "FirstOrder",
    "FitFilter",
    "FloorFilm",
    "Fluid",
    "HeelMap",
    "Hypothesis",
    "Hysteresis",
    "Ingress",
    "Inspection",
    "Leak",
    "Ledger",
    "LitreScale",
    "OldOil",
    "OpenPlug",
    "Plan",
    "Plug",
    "Pool",
    "Pools",
    "Pour",
    "PredictedReading",
    "Prediction",
    "PressureDelay",
    "PropagatedResult",
    "Propagation",
    "Read",
    "Reading",
    "Reconciliation",
    "Record",
    "ReducedTime",
    "RemoveFilter",
    "Residue",
    "Response",
    "Rest",
    "Row",
    "RowPool",
    "Run",
    "Sensitivity",
    "Service",
    "Shell",
    "State",
    "Stop",
    "Strapping",
    "SuctionTube",
    "Sump",
    "Surface",
    "Tilt",
    "Timeline",
    "Tornado",
    "Trend",
    "Uncertain",
    "Unknown",
    "Use",
    "Verdict",
    "WaitAdvice",
    "WallFilm",
    "WeighedResidue",
    "WettedArea",
    "Wipe",
    "Withdraw",
    "WorthMeasuring",
    "_nothing",
    "assess",
    "blend_viscosity_mm2_s",
    "build_info",
    "calibrate",
    "capacity_ratio",
    "capillary_length_mm",
    "cause_priors",
    "classify_iso_vg",
    "classify_kv100",
    "conformity_probability",
    "demos",
    "diagnose",
    "diagnose_many",
    "dip_study",
    "drain_curve",
    "drain_flow",
    "emptying_seconds",
    "emptying_time",
    "grades",
    "inspect_mesh",
    "inspect_stl",
    "inspect_stl_bytes",
    "old_oil",
    "plan_refill",
    "plan_withdraw",
    "predict",
    "propagate",
    "reconcile",
    "sensitivity",
    "simulate",
    "tornado",
    "trend",
    "wait_advice",
    "weighed_residue",
    "withdrawal_film_um",
    "worth_measuring",
]

@final
class AirLock:
    """
    A space whose air cannot leave once liquid has risen to its level. Made by `Sump.air_locks`.

    Parameters
    ----------
    highest_point_mm : tuple of float
        Its highest point, body frame [mm].
    level_mm : quantity
        Level of liquid that cuts it off [mm].
    volume_l : quantity
        Volume of the space above that level, which stays air (its compression by the liquid aside) [L].
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(
        cls,
        /,
        *,
        highest_point_mm: tuple[
            SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex
        ],
        level_mm: Quantity,
        volume_l: Quantity,
    ) -> AirLock: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def highest_point_mm(self, /) -> tuple[float, float, float]:
        """
        Its highest point, body frame [mm].
        """

    @property
    def level_mm(self, /) -> float:
        """
        Level of liquid that cuts it off [mm].
        """

    @property
    def volume_l(self, /) -> float:
        """
        Volume of the space above that level [L].
        """

@final
class Assessment:
    """
    What a service leaves behind, judged. Made by `assess` or `Timeline.assess`; prints as a page.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def cautions(self, /) -> list[tuple[str, str]]:
        """
        Cautions that apply, each with why.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        One entry per draw.

        Returns
        -------
        dict of str to numpy.ndarray
            ``spans``, and where they are known ``crank_gap_mm`` and ``pickup_spare_mm``.
        """

    @property
    def crank_gap_mm(self, /) -> Draws | None:
        """
        From the static hot level up to the crank's path [mm]; None where the circuit does not state ``[crank]``.
        """

    @property
    def draws(self, /) -> int:
        """
        Number of draws; 1 for a timeline.
        """

    @property
    def judgement_share(self, /) -> float:
        """
        What share of the variance of `spans` rests on judgement inputs, 0 to 1; 0 of a timeline, in which nothing varies.
        """

    @property
    def pickup_spare_mm(self, /) -> Draws | None:
        """
        Depth of the pickup right after a run less ``pickup.margin``, the least of all runs [mm].

        None where the circuit does not state ``[pickup]`` or the engine does not run.
        """

    @property
    def probabilities(self, /) -> dict[str, Any]:
        """
        Probability of every band.
        """

    @property
    def probability_crank_reached(self, /) -> float | None:
        """
        Probability that the static hot level reaches the crank's path; None where that is unknown.
        """

    @property
    def probability_over_max(self, /) -> float:
        """
        Probability of ending over MAX.
        """

    @property
    def probability_pickup_uncovered(self, /) -> float | None:
        """
        Probability that the pickup lacks its depth right after a run; None where that is unknown.
        """

    @property
    def reasons(self, /) -> list[str]:
        """
        What the verdict rests on, and what is unknown.
        """

    @property
    def spans(self, /) -> Draws:
        """
        True level, drained back, in the reference condition: 0 at MIN, 1 at MAX.
        """

    def to_dict(self, /) -> dict[str, Any]:
        """
        All of it but the draws, as plain data.

        Returns
        -------
        dict
            ``json.dumps`` takes it.
        """

    @property
    def verdict(self, /) -> str:
        """
        Short verdict: ``"do not start"``, ``"do not run"``, ``"correct"``, ``"add oil"``, ``"read again"`` or ``"within"``.
        """

    @property
    def words(self, /) -> str:
        """
        The verdict in words. It never tells anyone to start.
        """

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
    def accelerated(
        self,
        /,
        *,
        forward_m_s2: Quantity | None = None,
        left_m_s2: Quantity | None = None,
        up_m_s2: Quantity | None = None,
    ) -> Attitude:
        """
        The attitude whose level surfaces are those of liquid at rest in a body that stands like this and accelerates.

        Parameters
        ----------
        forward_m_s2, left_m_s2, up_m_s2 : quantity
            Steady acceleration in the body frame [m/s2]; braking is a negative first one; 0 where not given.

        Returns
        -------
        Attitude
            With ``up' = g up + a``, g = 9.80665 m/s2 (3rd CGPM, 1901).

        Raises
        ------
        QuantityError, GeometryError
            If an acceleration is no number, or the body would be upside down or weightless.

        Examples
        --------
        >>> import fillmark as fm
        >>> round(fm.Attitude().accelerated(forward_m_s2=-9.80665).nose_up_deg, 9)
        -45.0
        """

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
    def from_turned_inclinometer(
        *,
        along_deg: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex] = ...,
        across_deg: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex] = ...,
    ) -> tuple[Attitude, tuple[float, float]]:
        """
        The attitude that an inclinometer shows when it is read in place and again turned round by 180 deg.

        Half the difference of the two readings is the inclination; half their sum is the instrument's zero error, which
        so cancels.

        Parameters
        ----------
        along_deg : tuple of float
            Lengthwise: the first reading counts nose up as positive, the second was taken turned round [deg]; -90 to 90.
        across_deg : tuple of float
            Crosswise, the first counting right side down as positive [deg]; none where not given.

        Returns
        -------
        tuple of Attitude and tuple of float
            The attitude, and the zero errors lengthwise and crosswise [deg].

        Raises
        ------
        QuantityError, GeometryError
            If a reading is outside its range, or no plane has both inclinations.

        Examples
        --------
        >>> import fillmark as fm
        >>> here, zero = fm.Attitude.from_turned_inclinometer(along_deg=(3.4, -2.6))
        >>> round(here.nose_up_deg, 9), round(zero[0], 9)
        (3.0, 0.4)
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
class Band:
    """
    A number with its band: what draws say of a quantity.

    Parameters
    ----------
    median, mean : float
        Middle of the draws, and their mean.
    standard_uncertainty : float
        Their standard deviation (JCGM 101, 7.6).
    low, high : float
        Ends of the coverage interval with as much probability below as above (JCGM 101, 7.7).
    unit : str
        Unit of all five.
    coverage : float
        Coverage probability of the interval.

    Examples
    --------
    >>> import fillmark as fm
    >>> fit = fm.calibrate([0, 0.5, 0.5, 0.5], [20.0, 31.5, 42.0, 53.5], scatter_mm=0.5)
    >>> fit.ml_per_mm.low < 45 < fit.ml_per_mm.high
    True
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(
        cls,
        /,
        *,
        median: SupportsFloat | SupportsIndex,
        mean: SupportsFloat | SupportsIndex,
        standard_uncertainty: SupportsFloat | SupportsIndex,
        low: SupportsFloat | SupportsIndex,
        high: SupportsFloat | SupportsIndex,
        unit: str = "1",
        coverage: SupportsFloat | SupportsIndex = 0.95,
    ) -> Band: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def coverage(self, /) -> float:
        """
        Coverage probability of the interval.
        """

    @property
    def high(self, /) -> float:
        """
        Upper end of the interval.
        """

    @property
    def low(self, /) -> float:
        """
        Lower end of the interval.
        """

    @property
    def mean(self, /) -> float:
        """
        Mean of the draws; not a number or infinite where some are infinite.
        """

    @property
    def median(self, /) -> float:
        """
        Middle of the draws.
        """

    @property
    def standard_uncertainty(self, /) -> float:
        """
        Standard deviation of the draws.
        """

    @property
    def unit(self, /) -> str:
        """
        Unit of the numbers.
        """

@final
class Basin:
    """
    A place where liquid can stand by itself. One row of `Basins`.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def base_mm(self, /) -> float:
        """
        Level at which it begins [mm]: that of its lowest point, or of the sill where smaller basins join to make it.
        """

    @property
    def children(self, /) -> list[int]:
        """
        The smaller basins that join to make it, by their places in the list.
        """

    @overload
    def level_mm(self, /, *, volume_l: Number) -> float:
        """
        Level at which a volume stands in this basin.

        Parameters
        ----------
        volume_l : quantity or array
            Volume in this basin, smaller basins included [L]: from what they hold to `volume_l`.

        Returns
        -------
        float or ndarray
            Level above the sump's lowest point, of the volume's shape [mm].

        Raises
        ------
        GeometryError
            If a volume is outside the basin.
        """

    @overload
    def level_mm(self, /, *, volume_l: Numbers) -> NDArray[float64]: ...
    @overload
    def level_mm(self, /, *, volume_l: SupportsTo) -> Any: ...
    @property
    def lowest_mm(self, /) -> float:
        """
        Level of the lowest point [mm].
        """

    @property
    def lowest_point_mm(self, /) -> tuple[float, float, float]:
        """
        Its lowest point, body frame [mm]; of several, the first corner of the mesh.
        """

    @property
    def number(self, /) -> int:
        """
        Its place in the list.
        """

    @property
    def parent(self, /) -> int | None:
        """
        The basin that it and its neighbours join to make, by its place in the list.
        """

    @property
    def sill_mm(self, /) -> float | None:
        """
        Level at which it spills [mm]; None when it takes everything to the top.
        """

    @property
    def sill_point_mm(self, /) -> tuple[float, float, float] | None:
        """
        The point that liquid passes when it spills, body frame [mm].
        """

    @overload
    def volume_below_l(self, /, *, level_mm: Number) -> float:
        """
        Volume in this basin below a level, smaller basins included.

        Parameters
        ----------
        level_mm : quantity or array
            Level above the sump's lowest point [mm], from `base_mm` to `sill_mm`.

        Returns
        -------
        float or ndarray
            Volume of the level's shape [L].

        Raises
        ------
        GeometryError
            If a level is outside the basin.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> pan.basins()[0].volume_below_l(level_mm=[0.0, 50.0]).round(9)
        array([0., 3.])
        """

    @overload
    def volume_below_l(self, /, *, level_mm: Numbers) -> NDArray[float64]: ...
    @overload
    def volume_below_l(self, /, *, level_mm: SupportsTo) -> Any: ...
    @property
    def volume_l(self, /) -> float:
        """
        Volume of everything in it below its sill, smaller basins included [L].
        """

@final
class Basins:
    """
    The basins of a sump at an attitude: a sequence of `Basin`, children before parents. Made by `Sump.basins`.

    Examples
    --------
    >>> import fillmark as fm
    >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    >>> basins = pan.basins()
    >>> len(basins), basins[0].sill_mm is None, round(basins[0].volume_l, 9)
    (1, True, 6.0)
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __getitem__(self, index: SupportsIndex, /) -> Basin: ...
    def __len__(self, /) -> int: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def attitude(self, /) -> Attitude:
        """
        The attitude.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        One entry per basin.

        Returns
        -------
        dict of str to numpy.ndarray
            ``number``; ``x_mm``, ``y_mm``, ``z_mm`` and ``lowest_mm``: the lowest point and its level; ``base_mm``;
            ``sill_mm`` and ``sill_x_mm``, ``sill_y_mm``, ``sill_z_mm`` (NaN without a sill); ``parent`` (-1 without one);
            ``volume_l``.
        """

    @property
    def rows(self, /) -> list[Basin]:
        """
        The basins in order.
        """

    @property
    def sump(self, /) -> Sump:
        """
        The sump.
        """

@final
class Calibration:
    """
    A stick as step pours showed it. Made by `calibrate`; prints as a table.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    def against(self, /, circuit: Circuit) -> dict[str, Any]:
        """
        How a circuit's geometry would have to be for its stick to read as the pours showed.

        ``V_i = k D(s_i - δ) + e_i`` with ``D`` the drawn volume along the blade and ``V_i`` that poured by reading ``s_i``, by generalised least squares: the errors are
        those of start, jug and pours, the scatter of the readings, and 5 mL of misfit (judgement). It is drawn to what the circuit states of
        ``geometry.volume_scale`` and ``geometry.datum`` (where exactly: 2 % and 2 mm, judgement), because a short piece of blade can hardly tell the two apart; as
        Student's t of four degrees of freedom with that standard uncertainty, so that a sump far from its drawing is not held back. It is fitted to draws of the errors about draws
        of that prior (randomised maximum likelihood: Bardsley et al., SIAM J. Sci. Comput. 36 (2014) A1895). Without `start_l` differences of volume say ``k`` alone. Attitude: that of the marks.

        Parameters
        ----------
        circuit : Circuit
            The circuit whose stick was read.

        Returns
        -------
        dict
            ``volume_scale`` (Band), ``datum_mm`` (Band, None without ``start_l``), ``correlation`` of the two (None likewise), ``left_over_l``: the
            largest distance, along the blade, that these two numbers leave between circuit and pours [L].

        Raises
        ------
        LearnError
            If a reading lies above the circuit's blade.
        """

    def apply(self, /, circuit: Circuit) -> Any:
        """
        A circuit with what was learnt put in.

        ``geometry.volume_scale`` and, with ``start_l``, ``geometry.datum`` as of `against`, with their ``geometry.correlation``: readings predicted with the circuit
        know both together better than either alone. The marks where they were given, and ``dipstick.scatter``. What a circuit cannot hold: the curve's
        own shape where it differs from the drawing's (``left_over_l``).

        Parameters
        ----------
        circuit : Circuit
            The circuit whose stick was read.

        Returns
        -------
        Circuit
            A changed copy.

        Raises
        ------
        LearnError
            If a reading lies above the circuit's blade.

        Examples
        --------
        >>> import fillmark as fm
        >>> gearbox = fm.Circuit.demo("winch-gearbox")
        >>> fit = fm.calibrate([0, 0.3, 0.3, 0.3], [41.0, 48.5, 56.5, 64.0], start_l=2.38, scatter_mm=0.5)
        >>> learnt = fit.apply(gearbox)
        >>> learnt.columns()["standard_uncertainty"][0] > 0
        np.True_
        """

    def columns(self, /) -> dict[str, Any]:
        """
        Forty-one places along the blade, from the lowest to the highest reading.

        Returns
        -------
        dict of str to numpy.ndarray
            ``mm``; ``ml_per_mm`` and ``volume_l`` (medians), each with ``low_`` and ``high_`` (ends of the band).
        """

    @property
    def ml_per_mm(self, /) -> Band:
        """
        Mean volume per length of blade between the lowest and the highest reading [mL/mm].
        """

    def ml_per_mm_at(self, /, mm: Quantity) -> Band:
        """
        Volume per length of blade at a place.

        Parameters
        ----------
        mm : quantity
            Distance from the tip along the blade [mm].

        Returns
        -------
        Band
            [mL/mm].
        """

    def next_pours(self, /) -> dict[str, Any]:
        """
        What may come next, the one that teaches most first: the last level read again, or one more pour and its reading.

        The target is the volume of the span where the marks were given, else the mean mL per mm. Its expected variance after one more reading is found by
        making readings from the draws and weighting the draws by their likelihood (preposterior analysis: Raiffa and Schlaifer, Applied Statistical Decision
        Theory, 1961). The jug's own error is left by every pour with the same jug. One more pour brings its own error (`pour_scatter_l`) into its reading, a
        level read again does not: with a poor jug that may teach more. Amounts up to a quarter of all that was poured; where MAX is known, none that would stand
        above it with more than 2.5 % probability. Reading again is always offered.

        Returns
        -------
        dict of str to numpy.ndarray
            ``added_l`` (0: the reading is taken again); ``reading_mm`` expected, with ``low_`` and ``high_``; ``left``, the expected standard
            uncertainty of the target over that now.
        """

    @property
    def scatter_mm(self, /) -> Band:
        """
        Scatter of a reading, as the readings leave it [mm].
        """

    @property
    def span_l(self, /) -> Band | None:
        """
        Volume of the span, MIN to MAX [L]; None where the marks were not given.
        """

    def volume_between_l(self, /, low_mm: Quantity, high_mm: Quantity) -> Band:
        """
        Volume between two readings.

        Parameters
        ----------
        low_mm, high_mm : quantity
            The readings [mm].

        Returns
        -------
        Band
            [L]; below zero where ``high_mm`` is the lower one.
        """

    def volume_l(self, /, mm: Quantity) -> Band:
        """
        Volume when the stick reads `mm`: in the sump where ``start_l`` was given, else above that before the first pour.

        Parameters
        ----------
        mm : quantity
            The reading, from the tip along the blade [mm]; beyond the pours the band widens fast.

        Returns
        -------
        Band
            [L].
        """

    @property
    def zero_mm(self, /) -> Band:
        """
        The zero of the pours: what the stick reads, free of scatter, before the first pour [mm].
        """

@final
class Cause:
    """
    One cause with its probability. Made by `diagnose`.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def bayes_factor_against(self, /) -> float:
        """
        Bayes factor of the leading cause against this one.
        """

    @property
    def fit(self, /) -> float:
        """
        Posterior predictive probability of data that fit at most as well; below 0.01 the cause does not explain them.
        """

    @property
    def ln_evidence(self, /) -> float:
        """
        Natural logarithm of its evidence.
        """

    @property
    def name(self, /) -> str:
        """
        What it is called; of a pair both names.
        """

    @property
    def observations(self, /) -> dict[str, Any]:
        """
        Every observation beside what the cause predicts, a row for each.

        Columns ``what``, ``seen``, ``unit``, ``value``, ``predicted``, ``standard_uncertainty``, ``tail`` (probability of
        something at least as far out, or of the sign that was seen), ``ln_factor_of_leading`` (how much it spoke for the
        leading cause against this one).
        """

    @property
    def over_max(self, /) -> float:
        """
        Probability of being over MAX if this is the cause.
        """

    @property
    def parts(self, /) -> list[str]:
        """
        Causes it consists of: one, or two.
        """

    @property
    def prior(self, /) -> float:
        """
        Probability before anything was read.
        """

    @property
    def prior_factor(self, /) -> float:
        """
        Factor by which the odds of the priors would have to move for this cause to lead; for the leading one, to lead no more.
        """

    @property
    def probability(self, /) -> float:
        """
        Probability now, among these causes.
        """

    @property
    def sizes(self, /) -> dict[str, Any]:
        """
        Sizes it leaves open, a row for each.

        Columns ``name``, ``unit``, ``mean``, ``standard_uncertainty``, ``low``, ``high`` (95 %), ``prior_low``, ``prior_high``, and
        ``quantiles``, a list of each one's posterior quantiles at 0.025, 0.050, ... 0.975.
        """

    @property
    def spans(self, /) -> tuple[float, float]:
        """
        True level in spans, drained back (0 at MIN, 1 at MAX): mean and standard deviation.
        """

    @property
    def standard_error(self, /) -> float:
        """
        Numerical standard error of that logarithm.
        """

    @property
    def told(self, /) -> bool:
        """
        Whether the events as told are this cause already.
        """

    @property
    def words(self, /) -> str:
        """
        What it means.
        """

@final
class ChangeFilter(Event):
    """
    Takes the filter off and fits a new one.

    Parameters
    ----------
    primed_l : quantity, optional
        New oil put into the new one beforehand [L]; it is part of the amount to pour, never extra.
    net_volume_l : quantity, optional
        What it holds when full [L]; as the circuit's filter where not stated.
    temperature_c : quantity, optional
        Temperature of that oil [°C]; the reference temperature where not stated.
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

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
        net_volume_l: Given | None = None,
        temperature_c: Given | None = None,
        label: str | None = None,
        attitude: Attitude | str | None = None,
    ) -> ChangeFilter: ...

@final
class Check:
    """
    A check that a person may do, with what it would tell. Made by `diagnose`.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def bits(self, /) -> float:
        """
        Expected information about the cause [bit].
        """

    @property
    def blocked(self, /) -> str | None:
        """
        Why it may not be done now, if it may not.
        """

    @property
    def name(self, /) -> str:
        """
        Short name.
        """

    @property
    def outcomes(self, /) -> dict[str, Any]:
        """
        What each outcome would mean: columns ``outcome``, ``probability``, ``cause`` (that would lead then), ``cause_probability``.
        """

    @property
    def precondition(self, /) -> str:
        """
        What must hold before it.
        """

    @property
    def starts_or_moves(self, /) -> bool:
        """
        Whether it starts the engine or moves the vehicle.
        """

    @property
    def words(self, /) -> str:
        """
        What to do.
        """

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
        service_with_filter_l: Quantity | None = None,
        service_without_filter_l: Quantity | None = None,
        dry_l: Quantity | None = None,
        filter_l: Quantity | None = None,
        span_l: Quantity | None = None,
        span_mm: Quantity | None = None,
        residue_l: Quantity | None = None,
        stores: SupportsGetItem[int, str] = ...,
        name: str = "service sheet",
    ) -> Circuit:
        """
        Builds a circuit from a service sheet: constant area, level ground only, one plug.

        At least one capacity is needed. What is not stated follows from what is, or from a default that is marked as judgement: filter, span and
        residue with an uncertainty, but oil (868 kg/m3 at 15 °C, 95 and 14.3 mm2/s), place of MAX and jug exact. At MAX in the reference
        condition the circuit holds the dry capacity, filter and stores included, with what is still aloft after the wait; a nominal drain
        (10 min at 60 °C) leaves the residue, of which the heel is what does not stay in the stores. One drain's heel scatters by 0.1 L about
        the nominal one (judgement).

        Figures are exact here. One that is not is stated afterwards: ``sheet.replace({"book.dry": "8.1(1) L"})``.

        Parameters
        ----------
        service_with_filter_l, service_without_filter_l : quantity, optional
            Refill after a drain, with and without filter change [L], 0.05 to 1000.
        dry_l : quantity, optional
            Empty engine to MAX [L]; the residue is this less the service capacity with filter.
        filter_l : quantity, optional
            What the filter holds [L], 0 for none; the difference of the two service capacities where both are stated; 3 to 10 % of the
            capacity (judgement) where nothing says.
        span_l : quantity, optional
            MIN to MAX [L]; 0.17 to 0.25 of the volume at MAX where not known (published cases; nominal 0.21).
        span_mm : quantity, optional
            Distance between the marks [mm]; 25 where not known (judgement).
        residue_l : quantity, optional
            What one drain nominally leaves, at the reference temperature [L]; where neither it nor the dry capacity is known, lognormal with median 9 % of the dry
            capacity and 0.66 for the logarithm (judgement).
        stores : sequence of str
            Kinds of stores the circuit has, each with the defaults of its kind: ``galleries``, ``head``, ``cooler``, ``lines``, ``crankcase``.
        name : str, optional
            Name of the circuit.

        Returns
        -------
        Circuit
            Read by an upright stick standing on its floor.

        Raises
        ------
        CircuitError, QuantityError
            If the figures contradict each other or are out of range, or a kind of store does not exist.

        Examples
        --------
        >>> import fillmark as fm
        >>> sheet = fm.Circuit.from_book(service_with_filter_l="5.7 US qt", service_without_filter_l="5.3 US qt")
        >>> sheet["filter.net_volume"]
        '0.378541178 L'
        >>> fm.Circuit.from_book(dry_l=6.0, filter_l=0.4, stores=["head", "cooler"])["book.dry"]
        '6 L'
        """

    def litre_scale(
        self, /, *, step_l: Quantity, from_mark: str = "MAX", attitude: Attitude | None = None
    ) -> LitreScale:
        """
        A litre scale for the circuit's own stick at an attitude.

        A line for every whole number of steps from a mark, as far as blade and liquid reach. Zero is the volume that the sump holds at that mark
        *in the reference condition*: at another attitude the lines stand where that volume reads there. Nominal values, without the errors
        of a reading.

        Parameters
        ----------
        step_l : quantity
            Volume from line to line [L]; at most 10 000 lines.
        from_mark : {"MAX", "MIN"}
            Where zero is.
        attitude : Attitude, optional
            How the vehicle stands; the marks' reference attitude where not given.

        Returns
        -------
        LitreScale
            With its `columns`.

        Raises
        ------
        QuantityError
            If the step is out of range.
        GeometryError
            If the sump has no plan form and is not level.

        Examples
        --------
        >>> import fillmark as fm
        >>> scale = fm.Circuit.demo("shuttle-bus").litre_scale(step_l=0.5).columns()
        >>> [round(float(mm), 1) for mm, litres in zip(scale["mm"], scale["from_max_l"]) if -1.6 < litres < 0.1]
        [95.7, 101.0, 106.2, 111.4]
        """

    @overload
    def litres_from_max(self, /, *, mm: Number, attitude: Attitude | None = None) -> float:
        """
        Litres from MAX at a true reading: what the sump holds, less what it holds at MAX in the reference condition.

        `Reading.litres_from_max` takes MAX at the attitude of the reading instead, as one who does not know of the slope would; the two agree at
        the reference attitude.

        Parameters
        ----------
        mm : quantity or array
            Reading, from the tip along the blade [mm], 0 to its length.
        attitude : Attitude, optional
            How the vehicle stands; the marks' reference attitude where not given.

        Returns
        -------
        float or ndarray
            Volume from MAX [L]; negative below it.

        Raises
        ------
        QuantityError
            If a reading is off the blade.
        GeometryError
            If the sump has no plan form and is not level.

        Examples
        --------
        >>> import fillmark as fm
        >>> bus = fm.Circuit.demo("shuttle-bus")
        >>> round(bus.litres_from_max(mm=bus.min_mm), 1)
        -1.5
        """

    @overload
    def litres_from_max(self, /, *, mm: Numbers, attitude: Attitude | None = None) -> NDArray[float64]: ...
    @overload
    def litres_from_max(self, /, *, mm: SupportsTo, attitude: Attitude | None = None) -> Any: ...
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
            With the file, the line, the key and the nearest known key, or what does not fit together.
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

    def marks_at(self, /, attitude: Attitude) -> tuple[float, float]:
        """
        Where MIN and MAX belong on the blade at an attitude: a stick marked upright, translated to an installed angle.

        Parameters
        ----------
        attitude : Attitude
            How the vehicle stands, or how the engine is installed.

        Returns
        -------
        tuple of float
            Distance of MIN and of MAX from the tip [mm] at which the sump holds there what it holds at the marks in the reference condition.

        Raises
        ------
        CircuitError
            If such a volume does not meet the blade.
        GeometryError
            If the sump has no plan form and is not level.

        Examples
        --------
        >>> import fillmark as fm
        >>> bus = fm.Circuit.demo("shuttle-bus")
        >>> [round(mm, 1) for mm in bus.marks_at(fm.Attitude())]
        [95.8, 111.4]
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

    @overload
    def ml_per_mm_at(self, /, *, mm: Number, attitude: Attitude | None = None) -> float:
        """
        Volume per length of blade anywhere on the stick: free surface times the rise of the blade along *up*.

        ``A cos(phi)`` for a straight blade at the angle phi to *up*; just below where the free surface jumps; nothing where the blade stands
        outside the liquid space.

        Parameters
        ----------
        mm : quantity or array
            Distance from the tip along the blade [mm], 0 to its length.
        attitude : Attitude, optional
            How the vehicle stands; the marks' reference attitude where not given.

        Returns
        -------
        float or ndarray
            Volume per length [mL/mm].

        Raises
        ------
        QuantityError
            If a distance is off the blade.
        GeometryError
            If the sump has no plan form and is not level.

        Examples
        --------
        >>> import fillmark as fm
        >>> bus = fm.Circuit.demo("shuttle-bus")
        >>> bus.ml_per_mm_at(mm=bus.max_mm) == bus.ml_per_mm
        True
        """

    @overload
    def ml_per_mm_at(self, /, *, mm: Numbers, attitude: Attitude | None = None) -> NDArray[float64]: ...
    @overload
    def ml_per_mm_at(self, /, *, mm: SupportsTo, attitude: Attitude | None = None) -> Any: ...
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

    def pressure_delay(
        self, /, *, primed_l: Given | None = None, empty_galleries_l: Given | None = None
    ) -> PressureDelay:
        """
        How long the oil pressure takes to come up after a filter change, at idle.

        ``(net - primed + empty galleries) / (displacement x idle speed)``: slip of the pump is left out. Standard uncertainty by the law of
        propagation (JCGM 100:2008, 5.1.2).

        Parameters
        ----------
        primed_l : quantity
            New oil put into the filter beforehand [L]; none where not given.
        empty_galleries_l : quantity
            What else the pump must fill [L]; nothing where not given.

        Returns
        -------
        PressureDelay
            Primed as stated, and dry, with the stop limit.

        Raises
        ------
        CircuitError
            If the circuit has no ``[filter]`` or no ``[pump]``.
        QuantityError
            If a volume is out of range.

        Examples
        --------
        >>> import fillmark as fm
        >>> delay = fm.Circuit.demo("shuttle-bus").pressure_delay(primed_l=0.3)
        >>> round(delay.seconds, 1), round(delay.dry_seconds, 1)
        (1.0, 3.0)
        """

    @property
    def reference_attitude(self, /) -> Attitude:
        """
        The attitude at which the marks are true.
        """

    @property
    def reference_condition(self, /) -> str:
        """
        The condition in which the marks are true, in words.

        Temperature, engine stopped (for how long) or running, attitude, stick seated or screwed in.
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

    @overload
    def volume_scale(self, /, *, temperature_c: Number) -> float:
        """
        What the true sump holds at a temperature over what its drawing holds, nominal [1].

        ``geometry.volume_scale``, times ``1 + 3 alpha (t - t_drawn)`` where ``geometry.metal`` or ``geometry.metal_expansion``
        says that the sump expands, with ``geometry.drawn_at`` the temperature at which the drawing holds.

        Parameters
        ----------
        temperature_c : quantity or array
            Temperature of the sump [°C], -60 to 200.

        Returns
        -------
        float or ndarray
            Of the temperature's shape [1].

        Raises
        ------
        FluidError
            If a temperature is outside the range.

        Examples
        --------
        >>> import fillmark as fm
        >>> bus = fm.Circuit.demo("shuttle-bus").replace({"geometry.metal": "cast_aluminium"})
        >>> round(bus.volume_scale(temperature_c=90.0), 5)
        1.00462
        """

    @overload
    def volume_scale(self, /, *, temperature_c: Numbers) -> NDArray[float64]: ...
    @overload
    def volume_scale(self, /, *, temperature_c: SupportsTo) -> Any: ...

@final
class ClosePlug(Event):
    """
    Puts the plug back.

    Parameters
    ----------
    plug : str, optional
        Name of the plug; all that are open where none is named.
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.ClosePlug()
    ClosePlug()
    """

    def __new__(
        cls, /, plug: str | None = None, *, label: str | None = None, attitude: Attitude | str | None = None
    ) -> ClosePlug: ...

@final
class Correction:
    """
    A row of a plan's table: what to do on readings in its range. From `Plan.after_reading` and `Plan.corrections`.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def advice(self, /) -> str:
        """
        What is asked for: ``add``, ``take out``, ``leave`` or ``find out``.

        ``find out``: so low a reading is not to be expected; add nothing before it is known why.
        """

    @property
    def change_l(self, /) -> float:
        """
        How much to add, as the instrument says [L]; negative: to take out.
        """

    @property
    def fraction(self, /) -> float | None:
        """
        Mean fraction of the span, by volume, at which those draws end; `None` where there are none.
        """

    @property
    def from_mm(self, /) -> float | None:
        """
        Lowest reading of the row [mm]; `None` where it has no lower end.
        """

    @property
    def over_max(self, /) -> float:
        """
        Share of those draws that end over MAX when this is done.
        """

    @property
    def probability(self, /) -> float:
        """
        Share of the draws that read so.
        """

    @property
    def text(self, /) -> str:
        """
        What to do, in words.
        """

    @property
    def to_mm(self, /) -> float | None:
        """
        Highest reading of the row [mm]; `None` where it has no upper end.
        """

@final
class DipStudy:
    """
    Precision of dips. Made by `dip_study`; prints as a table.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    def apply(self, /, circuit: Circuit, *, reader: str = "anyone") -> Any:
        """
        A circuit whose readings scatter as the study showed.

        Parameters
        ----------
        circuit : Circuit
            The circuit.
        reader : str
            ``"anyone"``: another trainee each time, ``dipstick.scatter`` is ``s_R``. ``"same trainee"``: it is ``s_r``, and ``dipstick.seat_offset``, whose error all
            readings share, is wider by ``s_L``.

        Returns
        -------
        Circuit
            A changed copy.

        Raises
        ------
        ValueError
            If `reader` is neither.

        Examples
        --------
        >>> import fillmark as fm
        >>> study = fm.dip_study(["Ada", "Ada", "Bo", "Bo", "Cy", "Cy"], [41.0, 42.0, 43.5, 44.0, 40.5, 41.5])
        >>> bus = study.apply(fm.Circuit.demo("shuttle-bus"), reader="same trainee")
        """

    def bands(self, /) -> dict[str, Any]:
        """
        Bands of the three standard deviations.

        Returns
        -------
        dict of str to Band
            ``repeatability``, ``between_trainees``, ``reproducibility`` [mm].
        """

    @property
    def between_trainees_mm(self, /) -> float:
        """
        Standard deviation between trainees ``s_L`` [mm].
        """

    def checks(self, /) -> dict[str, Any]:
        """
        The tests for trainees who differ from the others: Cochran's of the greatest scatter, Grubbs' of the highest and lowest mean (from three trainees on).

        Returns
        -------
        dict of str to numpy.ndarray
            ``test``, ``level``, ``trainee``, ``statistic``, ``critical_5``, ``critical_1`` and ``finding``: ``straggler`` beyond the 5 % critical value,
            ``outlier`` beyond that of 1 %, else empty.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        One entry for each trainee at each level.

        Returns
        -------
        dict of str to numpy.ndarray
            ``level``, ``trainee``, ``count``, ``mean_mm``, ``deviation_mm`` (NaN of a single reading), Mandel's ``h`` and ``k``.
        """

    def levels(self, /) -> dict[str, Any]:
        """
        One entry for each level.

        Returns
        -------
        dict of str to numpy.ndarray
            ``level``, ``mean_mm``, ``repeatability_mm``, ``between_trainees_mm``, ``reproducibility_mm``.
        """

    @property
    def repeatability_limit_mm(self, /) -> float:
        """
        Two readings of one trainee differ by less than this with 95 % probability: ``2.8 s_r`` (ISO 5725-6, 4.1) [mm].
        """

    @property
    def repeatability_mm(self, /) -> float:
        """
        Repeatability standard deviation ``s_r``: one trainee, over and over [mm].
        """

    @property
    def reproducibility_limit_mm(self, /) -> float:
        """
        Two readings of different trainees differ by less than this with 95 % probability: ``2.8 s_R`` (ISO 5725-6, 4.1) [mm].
        """

    @property
    def reproducibility_mm(self, /) -> float:
        """
        Reproducibility standard deviation ``s_R``: another trainee each time [mm].
        """

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
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

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
        attitude: Attitude | str | None = None,
    ) -> Drain: ...

@final
class DrainCurve:
    """
    A sump that empties through its plug, row by row. Made by `drain_curve`.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def columns(self, /) -> dict[str, Any]:
        """
        One entry per row, from the opening of the plug to the end.

        Returns
        -------
        dict of str to numpy.ndarray
            ``seconds``, ``head_mm`` over the outlet, ``level_mm`` of the part it lies in, ``flow_l_min``, ``out_l``, ``left_l`` in
            the whole sump, ``regime`` (``"gush"``, ``"stream"``, ``"drip"``), ``relative_uncertainty`` of the flow and
            ``between_models`` of the flow (see `DrainFlow`; 0 where nothing flows). Of the time to the row's head:
            ``seconds_models_low`` and ``seconds_models_high`` are the extremes of the three models,
            ``seconds_models_uncertainty`` the standard uncertainty of a rectangular distribution between them (JCGM 100,
            4.3.7), and ``seconds_grade_low``, ``seconds_grade_high``, ``seconds_grade_uncertainty`` what the grade of the oil
            leaves (see `Fluid.spread`; nothing for an oil that was not made from one).
        """

    @property
    def flags(self, /) -> tuple[Any, ...]:
        """
        Every reason to trust a row less, in words.
        """

    @property
    def heel_l(self, /) -> float:
        """
        What would be left if the last drop came: below the lowest point of the rim, and behind ribs [L].
        """

    @property
    def left_l(self, /) -> float:
        """
        Volume left in the sump at the last row, at its temperature, what is behind ribs included [L].
        """

    @property
    def seconds(self, /) -> float:
        """
        Time from opening the plug to the last row [s].
        """

@final
class DrainFlow:
    """
    Flow out of a plug at one head, with what limits it and how far to trust it. Made by `drain_flow`.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def between_models(self, /) -> float:
        """
        Standard relative uncertainty that the choice of a model leaves [1].

        Half the range of the three models over their mean, divided by the square root of 3 (rectangular, JCGM 100, 4.3.7).
        Cd and entry loss are this flow's; else Cd is 0.62 and the entry loss 1.0.
        """

    @property
    def flags(self, /) -> tuple[Any, ...]:
        """
        What is outside the model's ground, in words; empty when all is well.
        """

    @property
    def l_min(self, /) -> float:
        """
        Volume per time [L/min].
        """

    @property
    def of_grade(self, /) -> dict[str, Any] | None:
        """
        What the grade of the oil leaves of the flow [L/min]; None for an oil that was not made from one.

        A dict of ``nominal``, ``low``, ``high``, ``mean`` and ``standard_uncertainty``, as `Fluid.spread` gives it.
        """

    @property
    def regime(self, /) -> str:
        """
        How the oil leaves: ``"gush"`` (a full bore), ``"stream"`` (the rim limits it) or ``"drip"`` (below 0.3 mL/s).
        """

    @property
    def relative_uncertainty(self, /) -> float:
        """
        Standard relative uncertainty of the flow [1]: a judgement that grows with the flags.
        """

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

    def shortest_interval(self, /, probability: SupportsFloat | SupportsIndex = 0.95) -> tuple[float, float]:
        """
        Shortest coverage interval (JCGM 101:2008, 7.7.4).

        Parameters
        ----------
        probability : float
            Greater than 0, less than 1.

        Returns
        -------
        tuple of float
            Its two ends, which are draws.

        Raises
        ------
        QuantityError
            If the probability is out of range.
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

@final
class EmptyingTime:
    """
    How long a sump takes to empty through its plug, and how well that is known. Made by `emptying_time`.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def between_models_seconds(self, /) -> tuple[float, float]:
        """
        Shortest and longest time of the three models [s].
        """

    @property
    def between_models_uncertainty_seconds(self, /) -> float:
        """
        Standard uncertainty that the choice of a model leaves [s].

        The half width of `between_models_seconds` over the square root of 3 (rectangular, JCGM 100, 4.3.7).
        """

    @property
    def by_model(self, /) -> dict[str, Any]:
        """
        The time by each of the three models [s], by name; each to the end of its own stream.
        """

    @property
    def left_l(self, /) -> float:
        """
        Volume left in the sump when the stream breaks into drops, what is behind ribs included [L].
        """

    @property
    def of_grade(self, /) -> dict[str, Any] | None:
        """
        What the grade of the oil leaves of the time [s]; None for an oil that was not made from one.

        A dict of ``nominal``, ``low``, ``high``, ``mean`` and ``standard_uncertainty``, as `Fluid.spread` gives it.
        """

    @property
    def seconds(self, /) -> float:
        """
        Time by the chosen model until only drops fall [s].
        """

@final
class End:
    """
    How a cylinder ends. Immutable, compared by value.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.End.flat(), fm.End.ellipsoidal(), fm.End.torispherical(knuckle=0.1)
    (End.flat(), End.ellipsoidal(), End.torispherical(crown=1.0, knuckle=0.1))
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @staticmethod
    def conical(*, depth_mm: Quantity) -> End:
        """
        A cone.

        Parameters
        ----------
        depth_mm : quantity
            Depth at the axis, outwards from the edge of the barrel [mm]; at least 0.01.

        Returns
        -------
        End
            Its depth is checked when the cylinder is made.
        """

    @staticmethod
    def ellipsoidal(*, depth_mm: Quantity | None = None) -> End:
        """
        Half an ellipsoid.

        Parameters
        ----------
        depth_mm : quantity
            Depth at the axis [mm]; a quarter of the diameter where not given, which is the usual 2:1 end.

        Returns
        -------
        End
            Its depth is checked when the cylinder is made.
        """

    @staticmethod
    def flat() -> End:
        """
        A flat disc.

        Returns
        -------
        End
            Without depth.
        """

    @staticmethod
    def spherical(*, depth_mm: Quantity) -> End:
        """
        A spherical cap.

        Parameters
        ----------
        depth_mm : quantity
            Depth at the axis [mm], at most the radius (then a hemisphere).

        Returns
        -------
        End
            Its depth is checked when the cylinder is made.
        """

    @staticmethod
    def torispherical(*, crown: Quantity | None = None, knuckle: Quantity | None = None) -> End:
        """
        A shallow sphere joined to the barrel by a torus.

        Parameters
        ----------
        crown : quantity
            Radius of the sphere as a fraction of the diameter [1]; more than one half, 1 where not given (common).
        knuckle : quantity
            Radius of the torus as a fraction of the diameter [1]; less than one half, 0.06 where not given (common).

        Returns
        -------
        End
            Its radii are checked when the cylinder is made.
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
    def __str__(self, /) -> str: ...
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

    @staticmethod
    def from_text(text: str) -> Event:
        """
        An event from its line of text, as ``str`` gives it.

        Parameters
        ----------
        text : str
            One line; `Service` says how events are written.

        Returns
        -------
        Event
            Of the kind that the line begins with.

        Raises
        ------
        ServiceError
            With line and column, the word, what is accepted there and the nearest of it.

        Examples
        --------
        >>> import fillmark as fm
        >>> fm.Event.from_text("pour 6.9 L with jug")
        Pour('6.9 L', measured_with='jug')
        >>> print(fm.Drain(minutes=10, temperature_c=60))
        drain 10 min at 60 degC
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
class Finding:
    """
    One kind of flaw: how often, where, and what to do. Made by `Inspection.findings`.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def advice(self, /) -> str:
        """
        What to do about it.
        """

    @property
    def count(self, /) -> int:
        """
        How often it occurs; for parts that touch at least this often.
        """

    @property
    def fatal(self, /) -> bool:
        """
        Whether the surface cannot serve as a sump because of it.
        """

    @property
    def flaw(self, /) -> str:
        """
        The kind, in one word such as ``open_edge`` or ``suspicious_unit``.
        """

    @property
    def places_mm(self, /) -> list[tuple[float, float, float]]:
        """
        The first places, at most eight, body frame [mm].
        """

@final
class FirstOrder:
    """
    A result by the law of propagation of uncertainty to first order (JCGM 100:2008, clause 5); prints as an uncertainty budget.

    The model is differentiated at the expectations of its inputs, by central differences with steps of 1/32 and 1/64 of each
    standard uncertainty.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    def columns(self, /) -> dict[str, Any]:
        """
        The uncertainty budget: one row for each uncertain input.

        Returns
        -------
        dict of str to numpy.ndarray
            ``input``, ``estimate``, ``standard_uncertainty``, ``degrees_of_freedom``, ``coefficient`` (the partial derivative)
            and ``contribution`` (coefficient times standard uncertainty, with its sign).
        """

    def coverage_factor(self, /, probability: SupportsFloat | SupportsIndex = 0.95) -> float:
        """
        Coverage factor: the quantile of the t-distribution with the effective degrees of freedom, truncated (G.4.1).

        Parameters
        ----------
        probability : float
            Coverage probability, greater than 0, less than 1.

        Returns
        -------
        float
            1.96 for 95 % and infinitely many degrees of freedom.
        """

    @property
    def degrees_of_freedom(self, /) -> float | None:
        """
        Effective degrees of freedom by the Welch-Satterthwaite formula (G.4.1).

        Infinite where no input has fewer; None where a correlated input has finite ones, because the formula is for
        independent inputs.
        """

    @property
    def estimate(self, /) -> float:
        """
        The model at the expectations of its inputs.
        """

    def expanded_uncertainty(self, /, probability: SupportsFloat | SupportsIndex = 0.95) -> float:
        """
        Expanded uncertainty: coverage factor times standard uncertainty (6.2.1).

        Parameters
        ----------
        probability : float
            Coverage probability, greater than 0, less than 1.

        Returns
        -------
        float
            Half the width of `interval`.
        """

    def interval(self, /, probability: SupportsFloat | SupportsIndex = 0.95) -> tuple[float, float]:
        """
        The estimate less and plus the expanded uncertainty.

        Parameters
        ----------
        probability : float
            Coverage probability, greater than 0, less than 1.

        Returns
        -------
        tuple of float
            Its two ends.
        """

    @property
    def standard_uncertainty(self, /) -> float:
        """
        Combined standard uncertainty (5.1.2; with correlated inputs 5.2.2).
        """

@final
class FitFilter(Event):
    """
    Fits a new filter.

    Parameters
    ----------
    primed_l : quantity, optional
        New oil put into it beforehand [L]; it is part of the amount to pour, never extra.
    net_volume_l : quantity, optional
        What it holds when full [L]; as the circuit's filter where not stated.
    temperature_c : quantity, optional
        Temperature of that oil [°C]; the reference temperature where not stated.
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

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
        net_volume_l: Given | None = None,
        temperature_c: Given | None = None,
        label: str | None = None,
        attitude: Attitude | str | None = None,
    ) -> FitFilter: ...

@final
class FloorFilm:
    """
    The layer on a near-level floor that drains over one edge. Immutable.

    On a level floor of length L towards the edge the layer becomes self-similar, of mean thickness
    ``1.0757 (L**2 / (g s))**(1/3)``, s being the reduced time. A floor that falls towards the edge by beta drains like a wall
    as well, mean ``(2/3) sqrt(L / (g sin(beta) s))``; the thinner counts, at most some 30 % too thick where they cross. A
    capillary lip holds a layer back for good: the cubes of the two thicknesses are added (judgement).

    Parameters
    ----------
    length_mm : quantity
        Length towards the edge that the floor drains over [mm].
    width_mm : quantity
        Width along that edge [mm].
    slope_deg : quantity
        Fall towards the edge [deg], 0 to 90; level where not given.
    lip_mm : quantity
        Height of oil that surface tension holds at the edge [mm], 0 to 5; 0.5 where not given (judgement).

    Raises
    ------
    QuantityError
        If a value is outside its range.

    Examples
    --------
    >>> import fillmark as fm
    >>> floor = fm.FloorFilm(length_mm=300.0, width_mm=220.0, lip_mm=0.0)
    >>> since = fm.ReducedTime().after(minutes=10, kinematic_viscosity_mm2_s=65.0)
    >>> round(floor.volume_l(since), 3)
    0.071
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(
        cls,
        /,
        *,
        length_mm: Quantity,
        width_mm: Quantity,
        slope_deg: Quantity | None = None,
        lip_mm: Quantity | None = None,
    ) -> FloorFilm: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def mean_thickness_um(self, /, since: ReducedTime) -> float:
        """
        Mean thickness of the layer.

        Parameters
        ----------
        since : ReducedTime
            Since the floor was uncovered, after 0.

        Returns
        -------
        float
            Thickness [um].
        """

    @overload
    def retained_l(
        self,
        /,
        *,
        minutes: Number,
        fluid: Fluid,
        temperature_c: Quantity,
        surroundings_c: Quantity | None = None,
        time_constant_minutes: Quantity | None = None,
    ) -> float:
        """
        Volume of the layer against time, at one temperature or while the oil cools.

        `Fluid.spread` says what the grade of an oil leaves of it.

        Parameters
        ----------
        minutes : quantity or array
            Time since the floor was uncovered [min], above 0.
        fluid : Fluid
            With a viscosity; a lubricating oil where it cools.
        temperature_c : quantity
            Its temperature, or that at the beginning [°C].
        surroundings_c, time_constant_minutes : quantity
            Where it cools: the temperature it tends to [°C], and the time in which the difference falls to 37 % [min].

        Returns
        -------
        float or ndarray
            Volume of the shape of `minutes` [L].

        Raises
        ------
        FluidError
            If the fluid has no viscosity, or a temperature is outside its range.
        """

    @overload
    def retained_l(
        self,
        /,
        *,
        minutes: Numbers,
        fluid: Fluid,
        temperature_c: Quantity,
        surroundings_c: Quantity | None = None,
        time_constant_minutes: Quantity | None = None,
    ) -> NDArray[float64]: ...
    @overload
    def retained_l(
        self,
        /,
        *,
        minutes: SupportsTo,
        fluid: Fluid,
        temperature_c: Quantity,
        surroundings_c: Quantity | None = None,
        time_constant_minutes: Quantity | None = None,
    ) -> Any: ...
    def volume_l(self, /, since: ReducedTime) -> float:
        """
        Volume of the layer.

        Parameters
        ----------
        since : ReducedTime
            Since the floor was uncovered, after 0.

        Returns
        -------
        float
            Volume [L].
        """

@final
class Fluid:
    """
    A fluid: what it weighs and how thick it is at a temperature. Immutable.

    Made with `Fluid.oil`, `Fluid.of_grade`, `Fluid.water`, `Fluid.coolant`, `Fluid.fuel` or `Fluid.table`.

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
    @staticmethod
    def coolant(*, percent: SupportsFloat | SupportsIndex, basis: str | None = None) -> Fluid:
        """
        Ethylene glycol in water; only its density is known.

        By mass: Å. Melinder, Properties of Secondary Working Fluids for Indirect Systems (2010), pure glycol, -35 to
        100 °C. By volume: a fit to the table of the ASHRAE Handbook - Fundamentals, inhibited glycol, -35 to 125 °C.

        Parameters
        ----------
        percent : float
            Share of glycol: 0 to 60 by mass, 10 to 90 by volume.
        basis : {"mass", "volume"}
            What the percentage counts. It must be named: the two differ by about 0.8 % of density at 50 %.

        Returns
        -------
        Fluid

        Raises
        ------
        FluidError
            If the basis is not named, or the share is outside the range of its relation.

        Examples
        --------
        >>> import fillmark as fm
        >>> round(fm.Fluid.coolant(percent=50, basis="mass").density_kg_m3(temperature_c=20.0), 1)
        1064.9
        """

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

    @property
    def expansion_relative_uncertainty(self, /) -> float:
        """
        Standard relative uncertainty of the expansion [1].

        How far two liquids that the volume correction cannot tell apart may differ.
        Oils of equal density do: by more than 30 % between oils of different origin in R. S. Jessup's measurements (NBS Research
        Paper 244, 1930). 5 % for a finished oil, 3 % for a fuel and 2 % for coolant are judgements; 0 for water and a table.
        """

    @staticmethod
    def fuel(*, density_15c_kg_m3: Quantity) -> Fluid:
        """
        Petrol or diesel fuel; only its density is known.

        API MPMS 11.1 (1980), refined products, -50 to 150 °C. Usual densities are 720 to 775 kg/m3 for petrol and 820 to 845
        for diesel fuel (EN 228, EN 590, from memory).

        Parameters
        ----------
        density_15c_kg_m3 : quantity
            Density at 15 °C [kg/m3], 653 to 1075.

        Returns
        -------
        Fluid

        Raises
        ------
        FluidError
            If the density is outside the range.

        Examples
        --------
        >>> import fillmark as fm
        >>> diesel = fm.Fluid.fuel(density_15c_kg_m3=835.0)
        >>> round(diesel.volume_l_at(volume_15c_l=10.0, temperature_c=35.0), 2)
        10.17
        """

    @property
    def judged(self, /) -> tuple[Any, ...]:
        """
        Names of the `windows` of which at least one limit is a judgement.
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
    def of_grade(
        grade: str,
        *,
        density: SupportsFloat | SupportsIndex = 0.5,
        viscosity: SupportsFloat | SupportsIndex = 0.5,
        index: SupportsFloat | SupportsIndex = 0.5,
    ) -> Fluid:
        """
        One oil out of all that a grade leaves open.

        Parameters
        ----------
        grade : str
            As for `Fluid.oil`.
        density, viscosity, index : float
            How far through its window each stands: 0 the lower limit, 1 the upper.

        Returns
        -------
        Fluid
            With the windows of the grade.

        Raises
        ------
        FluidError
            If the grade is unknown.
        QuantityError
            If a share is outside 0 to 1.

        Examples
        --------
        >>> import fillmark as fm
        >>> thinnest = fm.Fluid.of_grade("10W-40", viscosity=0.0)
        >>> round(thinnest.kv100_mm2_s, 6)
        12.5
        """

    @staticmethod
    def oil(
        *,
        density_15c_kg_m3: Quantity | None = None,
        kv40_mm2_s: Quantity | None = None,
        kv100_mm2_s: Quantity | None = None,
        viscosity_points: tuple[
            tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
            tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
        ]
        | None = None,
        grade: str | None = None,
        edition: str = "2004",
    ) -> Fluid:
        """
        Lubricating oil, from its data sheet or from its grade alone.

        Give a density with two viscosities, or a grade: then each is the middle of what the grade leaves open, which
        `windows` tells.

        Parameters
        ----------
        density_15c_kg_m3 : quantity
            Density at 15 °C [kg/m3]; 800.9 to 1163.5 at 60 °F.
        kv40_mm2_s, kv100_mm2_s : quantity
            Kinematic viscosity at 40 °C and 100 °C [mm2/s]; the second is the smaller.
        viscosity_points : two pairs of float
            In place of those, kinematic viscosity at any two temperatures: ``((t1_c, nu1_mm2_s), (t2_c, nu2_mm2_s))``.
        grade : str
            Label such as ``"10W-40"`` (SAE J300), ``"80W-90"`` (SAE J306) or ``"ISO VG 46"`` (ISO 3448).
        edition : {"2004", "1980"}
            Edition of API MPMS 11.1, the volume correction.

        Returns
        -------
        Fluid
            Volume correction by API MPMS 11.1, lubricating-oil group; viscosity by ASTM D341 through the two points.

        Raises
        ------
        FluidError
            If a value is outside what the relations cover, the oil would be thicker hot than cold, or the grade is
            unknown.
        TypeError
            If neither a grade nor a density with two viscosities is given, or both.

        Examples
        --------
        >>> import fillmark as fm
        >>> fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
        Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
        >>> round(fm.Fluid.oil(grade="10W-40").kv100_mm2_s, 6)
        14.4
        >>> cold = fm.Fluid.oil(density_15c_kg_m3=868.0, viscosity_points=((0.0, 650.0), (60.0, 45.0)))
        >>> round(cold.kinematic_viscosity_mm2_s(temperature_c=0.0), 3)
        650.0
        """

    def spread(self, /, result: Any) -> dict[str, Any]:
        """
        Carries what a grade leaves open through any function of the oil.

        The function is called with oils of the grade: the middle and the 8 corners of the three `windows`, which give the
        nominal result and the limits (the extremes of a result that rises or falls with each of the three), and the 27
        points of Gauss's rule over them, which give mean and standard uncertainty (the propagation of distributions of JCGM
        101, by quadrature in place of draws). Nothing depends on a seed. Without a grade nothing is open and the result is exact.

        Parameters
        ----------
        result : callable
            Takes a `Fluid`, returns a float or an array, always of one shape.

        Returns
        -------
        dict of str to float or ndarray
            ``nominal``, ``low``, ``high``, ``mean``, ``standard_uncertainty``, each of the result's shape.

        Raises
        ------
        ValueError
            If the shape of the result changes.

        Examples
        --------
        >>> import fillmark as fm
        >>> walls = fm.WallFilm(length_mm=300.0, width_mm=2e6 / 300.0)
        >>> oil = fm.Fluid.oil(grade="10W-40")
        >>> kept = oil.spread(lambda oil: walls.retained_l(minutes=5.0, fluid=oil, temperature_c=90.0))
        >>> round(kept["nominal"], 3), round(kept["low"], 3), round(kept["high"], 3)
        (0.058, 0.053, 0.062)
        """

    @staticmethod
    def table(
        *,
        temperature_c: Quantities,
        density_kg_m3: Quantities,
        kv40_mm2_s: Quantity | None = None,
        kv100_mm2_s: Quantity | None = None,
    ) -> Fluid:
        """
        A fluid known by a table of densities, straight lines between its rows.

        Parameters
        ----------
        temperature_c : array
            Temperatures, rising [°C].
        density_kg_m3 : array
            Density at each [kg/m3], 100 to 3000.
        kv40_mm2_s, kv100_mm2_s : quantity
            Kinematic viscosity at 40 °C and 100 °C, joined by ASTM D341 [mm2/s]; both or neither.

        Returns
        -------
        Fluid
            Between the first and the last temperature. Volumes at 15 °C need a table that reaches there.

        Raises
        ------
        FluidError
            If there are fewer than two rows or a temperature does not rise.
        ValueError
            If the two columns have different lengths.
        TypeError
            If only one viscosity is given.

        Examples
        --------
        >>> import fillmark as fm
        >>> measured = fm.Fluid.table(temperature_c=[0.0, 15.0, 100.0], density_kg_m3=[878.0, 868.0, 813.0])
        >>> measured.density_kg_m3(temperature_c=7.5)
        873.0
        """

    @property
    def viscosity_index(self, /) -> float | None:
        """
        Viscosity index of ASTM D2270, not rounded [1]; None for a fluid without viscosity.

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
    @overload
    def volume_l_at(self, /, *, volume_15c_l: Quantity, temperature_c: Number) -> float:
        """
        The volume that a volume at 15 °C fills at a temperature: ``volume_15c_l / volume_correction``.

        Parameters
        ----------
        volume_15c_l : quantity
            Volume at 15 °C [L].
        temperature_c : quantity or array
            Temperature [°C]; for an oil -50 to 150.

        Returns
        -------
        float or ndarray
            Volume of the temperature's shape [L].

        Raises
        ------
        FluidError
            If a temperature is outside the range, or a table does not reach 15 °C.

        Examples
        --------
        >>> import fillmark as fm
        >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
        >>> oil.volume_l_at(volume_15c_l=7.0, temperature_c=[15.0, 90.0]).round(2)
        array([7.  , 7.41])
        """

    @overload
    def volume_l_at(self, /, *, volume_15c_l: Quantity, temperature_c: Numbers) -> NDArray[float64]: ...
    @overload
    def volume_l_at(self, /, *, volume_15c_l: Quantity, temperature_c: SupportsTo) -> Any: ...
    @staticmethod
    def water() -> Fluid:
        """
        Water, 0 to 100 °C; only its density is known.

        Density by the CIPM equation (Tanaka et al., Metrologia 38 (2001) 301) to 40 °C and by G. S. Kell (J. Chem. Eng.
        Data 20 (1975) 97) above.

        Returns
        -------
        Fluid

        Examples
        --------
        >>> import fillmark as fm
        >>> round(fm.Fluid.water().density_kg_m3(temperature_c=20.0), 2)
        998.21
        """

    @property
    def windows(self, /) -> dict[str, Any]:
        """
        What a grade leaves open, by name; empty for a fluid that was not made from one.

        Each is a pair of limits with all values between them alike:
        ``density_15c``, ``viscosity_index``, and ``kv100`` (SAE) or ``kv40`` (ISO). The viscosity's limits are the standard's
        as far as it sets them; those of density and index are judgements. `judged` lists the names that rest on a judgement.
        """

@final
class HeelMap:
    """
    The heel over pitch and roll. Made by `Sump.heel_map`.

    Examples
    --------
    >>> import fillmark as fm
    >>> pan = fm.Sump.box(length_mm=300.0, width_mm=220.0, height_mm=100.0)
    >>> plug = fm.Plug(at_mm=(-144.0, 0.0, 0.0), bore_mm=12.0)
    >>> ends = pan.heel_map(plug, nose_up_deg=[-3.0, 0.0, 3.0], right_down_deg=[0.0])
    >>> ends.heel_l.round(3)
    array([[0.478],
           [0.   ],
           [0.   ]])
    >>> ends.least
    Attitude()
    >>> print(ends)
    heel [L] by nose up (rows) and right down (columns) [deg]
                  0.00
        -3.00    0.478
         0.00    0.000
         3.00    0.000
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    def columns(self, /) -> dict[str, Any]:
        """
        One entry per pair of angles.

        Returns
        -------
        dict of str to numpy.ndarray
            ``nose_up_deg``, ``right_down_deg``, ``heel_l``.
        """

    @property
    def heel_l(self, /) -> Grid:
        """
        What stays in a full sump, by pitch (rows) and roll (columns) [L].
        """

    @property
    def least(self, /) -> Attitude:
        """
        The attitude of the map at which least stays in; of several equal to 1e-9 L, the nearest to level.
        """

    @property
    def nose_up_deg(self, /) -> Column:
        """
        Pitch angles [deg], one for each row of `heel_l`.
        """

    @property
    def right_down_deg(self, /) -> Column:
        """
        Roll angles [deg], one for each column of `heel_l`.
        """

@final
class Hypothesis:
    """
    A cause of one's own: the events that would have happened, with sizes left open as `Unknown`.

    Parameters
    ----------
    name : str
        What it is called.
    events : sequence of Event, or callable
        The events in place of those told. A callable gets the list of events as told, with a labelled `Read` for every reading of
        the record, is called once, and returns the list of events; it must keep those reads.
    weight : float
        Weight before anything was read, on the scale of the complaint's table, which sums to 100.
    note : str, optional
        What it means, in a sentence.
    complaints : sequence of str, optional
        Complaints it may explain; every one where not given.

    Raises
    ------
    ExplainError
        If it has no name, the weight is no weight, or there is no such complaint.

    Examples
    --------
    >>> import fillmark as fm
    >>> can = fm.Pour(fm.Unknown("a second can", "0.9 .. 1.1 L"))
    >>> own = fm.Hypothesis("a second can", lambda told: [told[0], can, *told[1:]], weight=5)
    >>> own.name, own.weight
    ('a second can', 5.0)
    """

    def __new__(
        cls,
        /,
        name: str,
        events: Any,
        *,
        weight: SupportsFloat | SupportsIndex = 5.0,
        note: str = "",
        complaints: SupportsGetItem[int, str] | None = None,
    ) -> Hypothesis: ...
    def __repr__(self, /) -> str: ...
    @staticmethod
    def load(path: str | PathLike[str]) -> list[Hypothesis]:
        """
        Reads hypotheses from a TOML or JSON file with ``[[hypotheses]]``.

        Parameters
        ----------
        path : path-like
            The file.

        Returns
        -------
        list of Hypothesis
            In the order of the file.

        Raises
        ------
        FileError, CircuitError, ExplainError
            If the file or what it says cannot be read.
        """

    @staticmethod
    def loads(text: str) -> list[Hypothesis]:
        """
        Reads hypotheses from TOML or JSON text with ``[[hypotheses]]``.

        Each has ``name``, ``weight``, and ``events``, or ``edits`` of the events as told: ``add = { after, event }``, ``remove =
        { event }``, ``replace = { event, with }``, ``scale = { event, by }``, ``input = { path, set or add }``. An event is meant by its
        index, its label or its kind; a size left open is ``{ unknown = { name = "...", prior = "0.2 .. 0.8 L" } }``.

        Parameters
        ----------
        text : str
            The document.

        Returns
        -------
        list of Hypothesis
            In the order of the text.

        Raises
        ------
        CircuitError, ExplainError
            If the text cannot be read.

        Examples
        --------
        >>> import fillmark as fm
        >>> own = fm.Hypothesis.loads('''
        ... format = 1
        ... [[hypotheses]]
        ... name = "the sump is dented"
        ... weight = 2
        ... edits = [{ input = { path = "geometry.volume_scale", add = "-0.1 .. 0" } }]
        ... ''')
        >>> own[0].name
        'the sump is dented'
        """

    @property
    def name(self, /) -> str:
        """
        What it is called.
        """

    @property
    def note(self, /) -> str:
        """
        What it means, in a sentence.
        """

    @property
    def weight(self, /) -> float:
        """
        Weight before anything was read.
        """

@final
class Hysteresis:
    """
    What a turn there and back does to liquid. Made by `Pools.hysteresis`.

    Parameters
    ----------
    moved_l : quantity
        Volume that lies elsewhere afterwards [L].
    unsettled_l : quantity
        The most that a last halving of a step still moved [L].
    real : bool
        Whether liquid has really moved: more than the steps of the turn leave open.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(cls, /, *, moved_l: Quantity, unsettled_l: Quantity, real: bool) -> Hysteresis: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def moved_l(self, /) -> float:
        """
        Volume that lies elsewhere afterwards [L].
        """

    @property
    def real(self, /) -> bool:
        """
        Whether liquid has really moved.
        """

    @property
    def unsettled_l(self, /) -> float:
        """
        The most that a last halving of a step still moved [L].
        """

@final
class Ingress(Event):
    """
    Lets something get into the sump, from now on until `Stop`.

    Parameters
    ----------
    component : {"fuel", "coolant", "water"}
        What gets in.
    rate_l_min : quantity
        Volume at 15 °C per time [L/min]; text such as ``"0.2 L/h"`` is taken as well.
    when : {"always", "running"}, optional
        When it acts.
    label : str, optional
        Name by which `Stop` ends it.
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Ingress("fuel", "20 mL/min", label="stuck injector")
    Ingress('fuel', rate_l_min='20 mL/min', label='stuck injector')
    """

    def __new__(
        cls,
        /,
        component: str,
        rate_l_min: Given,
        *,
        when: str = "running",
        label: str | None = None,
        attitude: Attitude | str | None = None,
    ) -> Ingress: ...

@final
class Inspection:
    """
    What was found in looking at a surface. Made by `Sump.inspect`, `inspect_mesh` and `inspect_stl`.

    Examples
    --------
    >>> import fillmark as fm
    >>> corners = [(0, 0, 0), (100, 0, 0), (0, 100, 0), (0, 0, 100)]
    >>> report = fm.inspect_mesh(vertices_mm=corners, faces=[(0, 2, 1), (0, 1, 3), (0, 3, 2)])
    >>> report.usable
    False
    >>> print(report)
    3 faces, 4 vertices, 100.0 x 100.0 x 100.0 mm: not usable as a sump
      open_edge, 3 times: close the hole: export the liquid space as a solid whose faces share corners
        at (50.0, 50.0, 0.0) mm
        at (50.0, 0.0, 50.0) mm
        at (0.0, 50.0, 50.0) mm
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def face_count(self, /) -> int:
        """
        Number of triangles.
        """

    @property
    def findings(self, /) -> list[Finding]:
        """
        What was found, the most basic first.
        """

    @property
    def shells(self, /) -> list[Shell]:
        """
        The separate parts; empty while edges are open or faces unusable.
        """

    @property
    def size_mm(self, /) -> tuple[float, float, float]:
        """
        Sides of the bounding box along x, y and z [mm].
        """

    @property
    def usable(self, /) -> bool:
        """
        Whether the surface can serve as a sump.
        """

    @property
    def vertex_count(self, /) -> int:
        """
        Number of corners.
        """

@final
class Leak(Event):
    """
    Lets liquid leak out of the sump onto the floor, from now on until `Stop`.

    Parameters
    ----------
    rate_l_min : quantity
        Volume at 15 °C per time [L/min]; text such as ``"0.2 L/h"`` is taken as well.
    when : {"always", "running"}, optional
        When it acts.
    label : str, optional
        Name by which `Stop` ends it.
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Leak("7 L/min", when="running", label="two gaskets")
    Leak(rate_l_min='7 L/min', when='running', label='two gaskets')
    """

    def __new__(
        cls,
        /,
        rate_l_min: Given,
        *,
        when: str = "always",
        label: str | None = None,
        attitude: Attitude | str | None = None,
    ) -> Leak: ...

@final
class Ledger:
    """
    Who holds what: masses and volumes by row, place and component. Nothing in it is computed by difference.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    def balance(self, /) -> dict[str, Any]:
        """
        What came out against what went in over the whole service, by component.

        A drained mass short of the poured one points to a poor drain of that day.

        Returns
        -------
        dict of str to numpy.ndarray
            ``component``; ``drained_kg``, ``old_filter_kg`` (went away inside filters), ``floor_kg``, ``poured_kg``, ``difference_kg`` (poured less
            drained less old filter).
        """

    def columns(self, /) -> dict[str, Any]:
        """
        One entry per row and place.

        Returns
        -------
        dict of str to numpy.ndarray
            ``row`` (0 the start), ``event``, ``place``; ``old_oil_kg`` to ``water_kg``; ``old_oil_l`` to ``water_l`` at the place's temperature,
            ``old_oil_15c_l`` to ``water_15c_l`` at 15 °C; ``temperature_c``; ``volume_l`` at that temperature and ``volume_15c_l``.
        """

    @property
    def drained_kg(self, /) -> float:
        """
        Mass drained or withdrawn: what the catch pan gained [kg].
        """

    @property
    def imbalance(self, /) -> float:
        """
        The largest imbalance over all rows and components, as a share of all that was ever in.
        """

    @property
    def poured_kg(self, /) -> float:
        """
        Mass of new oil poured, and put into filters beforehand [kg].
        """

@final
class LitreScale:
    """
    A litre scale for a circuit's stick. Made by `Circuit.litre_scale`; prints as a table.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __len__(self, /) -> int: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    def columns(self, /) -> dict[str, Any]:
        """
        One entry per line, from the tip upwards.

        Returns
        -------
        dict of str to numpy.ndarray
            ``mm`` (from the tip along the blade), ``from_max_l``, ``from_min_l``, ``volume_l`` (in the sump), ``ml_per_mm``.
        """

@final
class OldOil:
    """
    Shares of old oil after every change. Made by `old_oil`.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __len__(self, /) -> int: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    def changes_below(self, /, share: SupportsFloat | SupportsIndex = 0.01) -> int | None:
        """
        After how many changes the original oil makes up less than a share.

        Parameters
        ----------
        share : float
            By mass, such as 0.01 for 1 %.

        Returns
        -------
        int or None
            None where all the changes carried out do not suffice.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        One entry per change.

        Returns
        -------
        dict of str to numpy.ndarray
            ``change`` (1 the first); ``original_share``, by mass, of the oil from before the first change; ``previous_share`` of the oil from
            before that change, its own fill being new; ``kg``, all that is in the circuit.
        """

@final
class OpenPlug(Event):
    """
    Takes a plug out, until `ClosePlug`: what stands above its heel leaves.

    At once where the circuit states the heel, else over the rests that follow, along the curve of outflow.

    Parameters
    ----------
    plug : str, optional
        Name of the plug; needed only where the circuit has several.
    temperature_c : quantity, optional
        Temperature of everything in the circuit from now on [°C].
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

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
        attitude: Attitude | str | None = None,
    ) -> OpenPlug: ...

@final
class Plan:
    """
    A refill as a policy. Made by `plan_refill` and `plan_withdraw`; prints as a page.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    def after_reading(self, /, *, mm: Quantity) -> Correction:
        """
        What to do on a reading of the stick.

        Parameters
        ----------
        mm : quantity
            The last reading, from the tip along the blade [mm], 0 to 100000; it is taken to the nearest `reading_step_mm`.

        Returns
        -------
        Correction
            The row of the table.

        Raises
        ------
        QuantityError
            If the reading is out of range.
        """

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

    def columns(self, /) -> dict[str, Any]:
        """
        The table, one entry per row.

        Returns
        -------
        dict of str to numpy.ndarray
            ``from_mm`` and ``to_mm`` (lowest and highest reading of the row; NaN where it is open), ``do`` (in words),
            ``change_l`` (to add; negative to take out), ``probability`` (of such a reading), ``over_max`` (share of those draws
            that end over MAX) and ``fraction`` (of the span, their mean at the end; NaN where there are none).
        """

    @property
    def corrections(self, /) -> list[Correction]:
        """
        The table: what to do on the last reading, from low readings to high ones.
        """

    @property
    def end_fraction(self, /) -> Draws:
        """
        Fraction of the span at the end, by volume, when the table is followed: 0 at MIN, 1 at MAX.
        """

    @property
    def end_over_max(self, /) -> float:
        """
        Share of the draws that end over MAX when the table is followed, by draws that had no part in making it.
        """

    @property
    def figures(self, /) -> list[tuple[str, str]]:
        """
        The figures of the plan, each with its name.
        """

    @property
    def first_pour_l(self, /) -> float:
        """
        How much to pour first, as the instrument says [L].
        """

    @property
    def jug_step_l(self, /) -> float:
        """
        What the jug steps in [L].
        """

    @property
    def may_start(self, /) -> bool:
        """
        Whether the engine may be started after the first pour.

        It may where it is over MAX within the risk, under MIN in at most 1 % of draws, and nothing is left undone (a plug open, no filter
        fitted, a leak or an ingress going on) or got into the oil.
        """

    @property
    def ml_per_mm(self, /) -> float:
        """
        Volume per length of blade at MAX [mL/mm].
        """

    @property
    def no_start(self, /) -> str | None:
        """
        Why the engine is not to be started after the first pour; `None` where it may.

        What is undone, or in the oil, comes first, in the words of `assess`.
        """

    @property
    def probability_over_max(self, /) -> float:
        """
        Share of the draws that end over MAX after the first pour, with nothing corrected.
        """

    @property
    def probability_under_min(self, /) -> float:
        """
        Share of the draws that stand under MIN after the first pour, once the filter has filled and all has drained back.
        """

    @property
    def reading_step_mm(self, /) -> float:
        """
        What the stick is read to [mm].
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

    @property
    def steps(self, /) -> list[str]:
        """
        What to do, in order; the last step is the table.
        """

    def to_dict(self, /) -> dict[str, Any]:
        """
        The plan as plain data that JSON takes.

        Returns
        -------
        dict
            Figures with the unit in the key, ``steps``, ``readings``, ``table`` (a list of rows, `None` where a row is open)
            and ``cautions``.
        """

    def to_markdown(self, /) -> str:
        """
        The plan as Markdown.

        Returns
        -------
        str
            Title, figures, numbered steps, the table, cautions.
        """

@final
class Plug:
    """
    A drain plug: a round bore through the wall of a sump. Immutable.

    Parameters
    ----------
    at_mm : tuple of float
        Centre of the bore's rim on the inner side of the wall, body frame [mm].
    bore_mm : quantity
        Diameter of the bore [mm], 1 to 200.
    boss_mm : quantity
        Length of the bore [mm], 0 (a thin wall) to 500; 10 where not given (judgement).
    axis : tuple of float
        Direction in which the bore leaves the sump, body frame, of any length; straight down where not given.

    Raises
    ------
    QuantityError
        If a value is outside its range or the axis has no direction.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Plug(at_mm=(95.0, 0.0, -110.0), bore_mm=14.0)
    Plug(at_mm=(95.0, 0.0, -110.0), bore_mm=14.0)
    >>> fm.Plug(at_mm=(150.0, 0.0, 20.0), bore_mm=14.0, boss_mm=12.0, axis=(1.0, 0.0, 0.0)).boss_mm
    12.0
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(
        cls,
        /,
        *,
        at_mm: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
        bore_mm: Quantity,
        boss_mm: Quantity | None = None,
        axis: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex] = ...,
    ) -> Plug: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def at_mm(self, /) -> tuple[float, float, float]:
        """
        Centre of the bore's rim on the inner side of the wall, body frame [mm].
        """

    @property
    def axis(self, /) -> tuple[float, float, float]:
        """
        Direction in which the bore leaves the sump, a unit vector in the body frame [1].
        """

    @property
    def bore_mm(self, /) -> float:
        """
        Diameter of the bore [mm].
        """

    @property
    def boss_mm(self, /) -> float:
        """
        Length of the bore [mm].
        """

@final
class Pool:
    """
    One pool of liquid.

    Parameters
    ----------
    basin : int
        The basin it lies in, by its place in `Sump.basins`.
    level_mm : quantity
        Level of its free surface above the sump's lowest point [mm].
    volume_l : quantity
        Its volume [L].
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(cls, /, *, basin: SupportsIndex, level_mm: Quantity, volume_l: Quantity) -> Pool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def basin(self, /) -> int:
        """
        The basin it lies in, by its place in `Sump.basins`.
        """

    @property
    def level_mm(self, /) -> float:
        """
        Level of its free surface above the sump's lowest point [mm].
        """

    @property
    def volume_l(self, /) -> float:
        """
        Its volume [L].
        """

@final
class Pools:
    """
    Liquid in a sump as it lies: separate pools with their own levels. Immutable: every change gives new pools.

    A basin fills, spills at its sill and joins its neighbour when both are full to it (Barnes, Callaghan, Wickert 2021, Earth
    Surface Dynamics 9:105). Liquid runs down by the steepest way. Volume is kept to 1e-12 of the capacity. Air leaves freely.

    Parameters
    ----------
    sump : Sump
        What they lie in.
    volumes_l : mapping of int to quantity
        Volume of the pool in each basin, by its place in `Sump.basins` [L]; no liquid where not given.
    attitude : Attitude
        How the body stands; level where not given.
    unsettled_l : quantity
        What the turns that led here left open [L], as `turn` reports it.

    Raises
    ------
    GeometryError
        If there is no such basin, a pool does not fit in its basin or two overlap, or the sump has no plan form.

    Examples
    --------
    >>> import fillmark as fm
    >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    >>> pools = fm.Pools(pan).pour(3.0, at_mm=(0.0, 0.0, 90.0)).withdraw("0.6 L", at_mm=(0.0, 0.0, 5.0))
    >>> round(pools.volume_l, 9), round(pools.level_mm(at_mm=(0.0, 0.0, 5.0)), 9)
    (2.4, 40.0)
    >>> print(pools)
        2.400 L at    40.0 mm in basin 0
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(
        cls,
        /,
        sump: Sump,
        volumes_l: VolumesByBasin | None = None,
        *,
        attitude: Attitude | None = None,
        unsettled_l: Quantity | None = None,
    ) -> Pools: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @staticmethod
    def at_level(sump: Sump, *, level_mm: Quantity, attitude: Attitude | None = None) -> Pools:
        """
        Liquid up to one common level in every basin.

        Parameters
        ----------
        sump : Sump
            What it lies in.
        level_mm : quantity
            Level above the lowest point at this attitude [mm].
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        Pools
            With ``sump.volume_l(level_mm=level_mm, attitude=attitude)`` in all.

        Raises
        ------
        GeometryError
            If the level is outside the sump, or the sump has no plan form.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> round(fm.Pools.at_level(pan, level_mm=50.0).volume_l, 9)
        3.0
        """

    @property
    def attitude(self, /) -> Attitude:
        """
        The attitude.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        One entry per pool, largest first.

        Returns
        -------
        dict of str to numpy.ndarray
            ``basin``, ``level_mm``, ``volume_l``.
        """

    def drain(self, /, plugs: Outlets) -> Pools:
        """
        Lets everything out that open plugs reach.

        Parameters
        ----------
        plugs : Plug or sequence of Plug
            Which are open.

        Returns
        -------
        Pools
            What is left: of a full sump the heel.

        Raises
        ------
        GeometryError
            If a plug is more than 50 mm outside the liquid space.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> side = fm.Plug(at_mm=(150.0, 0.0, 17.0), bore_mm=14.0, axis=(1.0, 0.0, 0.0))
        >>> round(fm.Pools.at_level(pan, level_mm=50.0).drain(side).volume_l, 9)
        0.6
        """

    def hysteresis(self, /, attitude: Attitude) -> Hysteresis:
        """
        What a turn to another attitude and back does.

        Parameters
        ----------
        attitude : Attitude
            Where to.

        Returns
        -------
        Hysteresis
            How much liquid lies elsewhere afterwards, and whether that is real.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> fm.Pools.at_level(pan, level_mm=50.0).hysteresis(fm.Attitude(nose_up_deg=5.0)).real
        False
        """

    def level_mm(
        self,
        /,
        *,
        at_mm: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
    ) -> float | None:
        """
        Level of the pool that a point stands in or over.

        Parameters
        ----------
        at_mm : tuple of float
            Body frame [mm]; at most 50 mm outside the liquid space.

        Returns
        -------
        float or None
            Level above the sump's lowest point [mm]; None as in `pool_at`.

        Raises
        ------
        GeometryError
            If the point is too far outside.
        """

    def pool_at(
        self,
        /,
        *,
        at_mm: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
    ) -> Pool | None:
        """
        The pool that a point stands in or over, such as the tip of a stick.

        Parameters
        ----------
        at_mm : tuple of float
            Body frame [mm]; at most 50 mm outside the liquid space.

        Returns
        -------
        Pool or None
            None where pools are still apart below the point, or the one there is empty.

        Raises
        ------
        GeometryError
            If the point is too far outside.
        """

    @property
    def pools(self, /) -> list[Pool]:
        """
        The pools, largest first.
        """

    def pour(
        self,
        /,
        volume_l: Quantity,
        *,
        at_mm: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
    ) -> Pools:
        """
        Pours liquid at a point: it falls, runs down by the steepest way, fills the basin it comes to and spills on.

        Parameters
        ----------
        volume_l : quantity
            How much [L].
        at_mm : tuple of float
            Where, body frame [mm]; at most 50 mm outside the liquid space.

        Returns
        -------
        Pools
            With the liquid.

        Raises
        ------
        GeometryError
            If it does not fit, or the point is too far outside.
        QuantityError
            If the volume is negative.
        """

    @property
    def sump(self, /) -> Sump:
        """
        The sump.
        """

    def turn(self, /, attitude: Attitude) -> Pools:
        """
        Turns the sump to another attitude, slowly, along the straight line between the two pairs of angles.

        Pools move with the body, spill and join as at rest. One that the turn parts goes into the new basins in proportion
        to the volume of its old region in each. Steps of at most 2 deg are halved until that moves less than 1e-6 of the
        liquid; what 12 halvings leave open is in `unsettled_l`. Less than 1e-6 of what the sump holds, drops in the seams of its drawing,
        is turned without parting and without halving.

        Parameters
        ----------
        attitude : Attitude
            How the body stands afterwards.

        Returns
        -------
        Pools
            The same liquid there. Turning back need not bring it back; see `hysteresis`.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> turned = fm.Pools.at_level(pan, level_mm=50.0).turn(fm.Attitude(nose_up_deg=5.0))
        >>> round(turned.volume_l, 9), turned.unsettled_l
        (3.0, 0.0)
        """

    @property
    def unsettled_l(self, /) -> float:
        """
        The most that a last halving of a step still moved in the turns so far [L].

        It is 0 unless the smallest difference decides to which side liquid runs.
        """

    @property
    def volume_l(self, /) -> float:
        """
        All the liquid [L].
        """

    @property
    def volumes_l(self, /) -> dict[int, float]:
        """
        Volume of the pool in each basin that has one, by its place in `Sump.basins` [L].
        """

    def withdraw(
        self,
        /,
        volume_l: Quantity,
        *,
        at_mm: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
    ) -> Pools:
        """
        Takes liquid out at a point, as a tube with its end there would. Where a sill comes out of it, what is behind stays.

        Parameters
        ----------
        volume_l : quantity
            How much [L].
        at_mm : tuple of float
            Where the tube ends, body frame [mm]; at most 50 mm outside the liquid space.

        Returns
        -------
        Pools
            Without the liquid.

        Raises
        ------
        GeometryError
            If the tube does not reach so much (the message says how much it does), or its end is too far outside.
        QuantityError
            If the volume is negative.
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
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

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
        attitude: Attitude | str | None = None,
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
    def judgement_share(self, /) -> float:
        """
        What share of the variance of `mm` rests on judgement inputs, 0 to 1; see `Prediction.judgement_share`.
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
    def __str__(self, /) -> str: ...
    @property
    def attitude_errors_mm(self, /) -> dict[str, Any]:
        """
        Largest error of the prepared free surfaces at every attitude that is stated with an uncertainty, by its path [mm].

        Measured over the stick's tip at attitudes and volumes that had no part in preparing them; see `Response`.
        """

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
            ``over_max``, ``under_min``, ``drained_back_l``, and for every reading ``LABEL mm``, ``LABEL fraction``, ``LABEL litres_from_max``
            (its number where it has no label).
        """

    def correlation(self, /) -> Grid:
        """
        Correlation coefficients of the readings along the blade, in the order of `readings`.

        Returns
        -------
        numpy.ndarray
            Square and symmetric; NaN with a reading that does not vary.
        """

    def covariance_mm2(self, /) -> Grid:
        """
        Covariances of the readings along the blade [mm²], in the order of `readings` (JCGM 102:2011, 7.6).

        Returns
        -------
        numpy.ndarray
            Square and symmetric; the diagonal holds the squared standard uncertainties.
        """

    @property
    def drained_back_l(self, /) -> Draws:
        """
        Volume of the sump at the end, drained back, filter full, in the reference condition [L].

        Below zero the sump is dry, and filter and stores lack so much of what is theirs.
        """

    @property
    def draws(self, /) -> int:
        """
        Number of draws.
        """

    @property
    def judgement_inputs(self, /) -> list[str]:
        """
        Paths of the uncertain inputs that count as judgement.

        Defaults that nobody stated, those marked so in the circuit's file, and any correlated with one of them.
        Worked out, with the shares, when one of them is first asked for.
        """

    @property
    def judgement_share(self, /) -> float:
        """
        What share of the variance of the true level at the end rests on judgement inputs, 0 to 1.

        Their total Sobol' index as one group, with a standard error of about 0.02. Worked out when it is first asked for, by 4,096
        runs of the service.
        """

    @property
    def probability_over_max(self, /) -> float:
        """
        Share of the draws that end over MAX: true, noise-free, drained back, filter full, in the reference condition.
        """

    @property
    def probability_under_min(self, /) -> float:
        """
        Share of the draws that end under MIN in the same sense.
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

    @property
    def settled(self, /) -> bool | None:
        """
        With adaptive stopping, whether everything became stable before the most draws allowed.
        """

@final
class PressureDelay:
    """
    Time until the oil pressure comes up after a filter change. Made by `Circuit.pressure_delay`.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def caution(self, /) -> str:
        """
        What to heed.
        """

    @property
    def dry_seconds(self, /) -> float:
        """
        With a dry filter [s].
        """

    @property
    def flow_l_min(self, /) -> float:
        """
        Flow of the pump at idle [L/min].
        """

    @property
    def seconds(self, /) -> float:
        """
        With the filter primed as stated [s].
        """

    @property
    def standard_uncertainty(self, /) -> float:
        """
        Standard uncertainty of `seconds` [s].
        """

    @property
    def stop_limit_seconds(self, /) -> float:
        """
        Without pressure after this time: stop [s].
        """

@final
class PropagatedResult:
    """
    One result of a model with its uncertainty.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def draws(self, /) -> Draws:
        """
        Its draws.
        """

    @property
    def first_order(self, /) -> FirstOrder:
        """
        The same result by the law of propagation of uncertainty to first order (JCGM 100:2008).
        """

    def interval(self, /, probability: SupportsFloat | SupportsIndex = 0.95) -> tuple[float, float]:
        """
        Probabilistically symmetric coverage interval (JCGM 101:2008, 7.7).

        Parameters
        ----------
        probability : float
            Greater than 0, less than 1.

        Returns
        -------
        tuple of float
            Its two ends.
        """

    @property
    def mean(self, /) -> float:
        """
        Mean of the draws.
        """

    @property
    def name(self, /) -> str:
        """
        Name of the result; ``"result"`` where the model gives an array.
        """

    def shortest_interval(self, /, probability: SupportsFloat | SupportsIndex = 0.95) -> tuple[float, float]:
        """
        Shortest coverage interval (JCGM 101:2008, 7.7.4).

        Parameters
        ----------
        probability : float
            Greater than 0, less than 1.

        Returns
        -------
        tuple of float
            Its two ends.
        """

    @property
    def standard_error(self, /) -> float:
        """
        Standard error of the mean of the draws; of Sobol' points from the scatter between their scrambles.
        """

    @property
    def standard_uncertainty(self, /) -> float:
        """
        Standard deviation of the draws.
        """

    def validity(
        self, /, probability: SupportsFloat | SupportsIndex = 0.95, digits: SupportsIndex = 2
    ) -> dict[str, Any]:
        """
        Whether first order is good enough for a coverage interval (JCGM 101:2008, clause 8).

        Parameters
        ----------
        probability : float
            Coverage probability, greater than 0, less than 1.
        digits : int
            Significant digits of the standard uncertainty that are meant, 1 to 4.

        Returns
        -------
        dict of str to float or bool
            ``low_difference`` and ``high_difference``: how far the ends of the two symmetric intervals lie apart;
            ``tolerance``: half a unit of the last digit meant; ``valid``: whether neither difference exceeds it.
        """

@final
class Propagation:
    """
    The results of a model with their uncertainty. Made by `propagate`.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @staticmethod
    def _restore(
        names: SupportsGetItem[int, str],
        columns: SupportsGetItem[int, SupportsGetItem[int, SupportsFloat | SupportsIndex]],
        standard_errors: SupportsGetItem[int, SupportsFloat | SupportsIndex],
        first_orders: SupportsGetItem[
            int,
            tuple[
                SupportsFloat | SupportsIndex,
                SupportsFloat | SupportsIndex,
                SupportsFloat | SupportsIndex | None,
                SupportsGetItem[
                    int,
                    tuple[
                        str,
                        SupportsFloat | SupportsIndex,
                        SupportsFloat | SupportsIndex,
                        SupportsFloat | SupportsIndex,
                        SupportsFloat | SupportsIndex,
                    ],
                ],
            ],
        ],
        settled: bool | None,
    ) -> Propagation:
        """
        Rebuilds what a pickle holds.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        The draws of every result.

        Returns
        -------
        dict of str to numpy.ndarray
            One column for each result.
        """

    def correlation(self, /, a: str, b: str) -> float:
        """
        Correlation coefficient of the draws of two results.

        Parameters
        ----------
        a, b : str
            Names of the results.

        Returns
        -------
        float
            Between -1 and 1; NaN where one does not vary.
        """

    def covariance(self, /, a: str, b: str) -> float:
        """
        Covariance of the draws of two results.

        Parameters
        ----------
        a, b : str
            Names of the results.

        Returns
        -------
        float
            In the product of their units.
        """

    @property
    def draws(self, /) -> int:
        """
        Number of draws.
        """

    def result(self, /, name: str = "result") -> PropagatedResult:
        """
        The result of this name.

        Parameters
        ----------
        name : str
            As the model names it; ``"result"`` where the model gives an array.

        Returns
        -------
        PropagatedResult
            With its draws.

        Raises
        ------
        EstimateError
            If there is no result of this name.
        """

    @property
    def results(self, /) -> list[PropagatedResult]:
        """
        Every result, in the model's order.
        """

    @property
    def settled(self, /) -> bool | None:
        """
        With adaptive stopping, whether every result became stable before the most draws allowed.
        """

@final
class Read(Event):
    """
    Reads the stick.

    What is stated here holds for this reading only, where it departs from the circuit's stick in order.

    Parameters
    ----------
    label : str, optional
        Name under which the reading is found again.
    attitude : Attitude or str, optional
        How the vehicle stands for this reading only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
    smear_mm : quantity, optional
        Height of the smear left on the blade [mm], counted whether it was wiped or not; else ``dipstick.smear`` on a stick that
        was not wiped since the last pour or run.
    seat_offset_mm : quantity, optional
        How far the stick stands proud of its seat [mm], on top of the circuit's own; it then reads low.
    tube_pressure_pa : quantity, optional
        Pressure in the crankcase less that in the tube [Pa], in place of the circuit's; positive reads high.
    face : {"lower", "higher"}, optional
        Side of the blade that is read; the lower one is right.
    stick : str, optional
        Another stick of the circuit, by name.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Read(label="first dip")
    Read(label='first dip')
    >>> fm.Read(seat_offset_mm="5 mm")
    Read(seat_offset_mm='5 mm')
    """

    def __new__(
        cls,
        /,
        *,
        label: str | None = None,
        attitude: Attitude | str | None = None,
        smear_mm: Given | None = None,
        seat_offset_mm: Given | None = None,
        tube_pressure_pa: Given | None = None,
        face: str = "lower",
        stick: str | None = None,
    ) -> Read: ...

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
    def apart(self, /) -> bool:
        """
        Whether liquid lies in the sump that the stick does not see, apart from the pool its tip stands in.
        """

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
class Reconciliation:
    """
    How far a drawing is from its service sheet. Made by `reconcile`; prints as a table.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    def closing(self, /) -> dict[str, Any]:
        """
        What each quantity would have to be to close the gap of one figure alone.

        Returns
        -------
        dict of str to numpy.ndarray
            ``figure``; ``path`` of the quantity; ``now``, ``needed``, ``change`` and ``standard_uncertainty`` (as stated) in ``unit``;
            ``possible``, whether it can be that at all.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        One entry per figure of the sheet.

        Returns
        -------
        dict of str to numpy.ndarray
            ``figure``; ``geometry_l``, ``geometry_u_l`` (standard uncertainty); ``book_l``, ``book_u_l``, ``gap_l`` (drawing less book) and
            ``gap_u_l``, NaN where the book does not say.
        """

@final
class Record:
    """
    What is known of an incident: the events as told, what the stick said, signs, and what is complained of. Immutable.

    Doubts about the size of an event are uncertain values of its fields; doubts whether it happened are weights of causes
    under `priors`.

    Parameters
    ----------
    events : sequence of Event
        What was done, as told.
    readings : sequence
        What the stick said: numbers are millimetres from the tip, taken after the last event; a dict says more, with exactly one of
        ``mm``, ``fraction`` (0 at MIN, 1 at MAX), ``litres_from_max`` and ``says`` (``dry``, ``under``, ``between``, ``over``,
        ``above_blade``); ``of`` (label of a `Read`) or ``after`` (index of an event); ``attitude``; ``source`` (``seen``, ``photo``,
        ``told``, ``remembered``); ``noise_mm``, a standard uncertainty in place of the source's.
    complaint : str
        ``reads_over``, ``reads_under``, ``rises``, ``falls`` or ``differs``.
    name, note : str, optional
        Short name; remark in plain words.
    circuit : str, optional
        The circuit it is about: a demo's name, or a file beside that of the record.
    drained_l, poured_l : quantity, optional
        All that came out, by the pan; all that was poured, by the tally [L].
    signs : dict, optional
        What was looked for and whether it was there: ``old_colour``, ``fuel_smell``, ``milky``, ``coolant_falls``, ``oil_on_floor``,
        ``loose_plug``, ``second_dip_differs``, ``old_filter``, ``wrong_stick``.
    tanked : bool
        Whether the engine keeps its oil in a separate tank, in which the stick stands.
    priors : dict, optional
        Weights of causes in place of those of the complaint's table, which sums to 100.

    Raises
    ------
    ExplainError
        If the record says nothing, or contradicts itself.

    Examples
    --------
    >>> import fillmark as fm
    >>> service = [fm.Drain(minutes=10), fm.ChangeFilter(), fm.Pour(7.4), fm.Run(minutes=1), fm.Rest(minutes=20)]
    >>> record = fm.Record(service, [122.0], complaint="reads_over", name="Tuesday")
    >>> record
    <record "Tuesday": reads over after a service, 5 events, 1 reading>
    >>> fm.Record.loads(record.to_toml()) == record
    True
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(
        cls,
        /,
        events: Events,
        readings: Any,
        *,
        complaint: str,
        name: str = "",
        note: str | None = None,
        circuit: str | None = None,
        drained_l: Given | None = None,
        poured_l: Given | None = None,
        signs: dict[str, bool] | None = None,
        tanked: bool = False,
        priors: dict[str, SupportsFloat | SupportsIndex] | None = None,
    ) -> Record: ...
    def __reduce__(self, /) -> tuple[Any, tuple[str]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def circuit(self, /) -> str | None:
        """
        The circuit it is about, if it says so: a demo's name, or a file beside that of the record.
        """

    @property
    def complaint(self, /) -> str:
        """
        What is complained of: ``reads_over``, ``reads_under``, ``rises``, ``falls`` or ``differs``.
        """

    @property
    def events(self, /) -> list[Event]:
        """
        What was done, as told.
        """

    @staticmethod
    def from_columns(columns: dict[str, Any], *, complaint: str, name: str = "") -> Record:
        """
        A record from the columns of a table, one row after another.

        Parameters
        ----------
        columns : dict of str to sequence
            ``event``: lines such as ``"pour 6.9 L"``, or blank. Optional: ``reading_mm``, ``reading_fraction``, ``litres_from_max``,
            ``says``, ``source``, ``noise_mm``: what the stick said after the row's event.
        complaint : str
            As for the class.
        name : str, optional
            Short name.

        Returns
        -------
        Record
            Its readings each taken after the event of their row, or the last before it.

        Raises
        ------
        ExplainError
            If a column is missing, or a cell cannot be read.

        Examples
        --------
        >>> import fillmark as fm
        >>> table = {"event": ["drain 10 min", "pour 7.4 L", "rest 20 min"], "reading_mm": [None, None, 122.0]}
        >>> fm.Record.from_columns(table, complaint="reads_over")
        <record "": reads over after a service, 3 events, 1 reading>
        """

    @staticmethod
    def from_table(columns: dict[str, Any]) -> list[Record]:
        """
        Several records from one table: rows that share a cell of its column ``record`` are one record.

        Parameters
        ----------
        columns : dict of str to sequence
            As for `from_columns`, with ``record`` (the name) and ``complaint``.

        Returns
        -------
        list of Record
            In the order in which their names first occur.

        Raises
        ------
        ExplainError
            If a column is missing, or a cell cannot be read.
        """

    @staticmethod
    def load(path: str | PathLike[str]) -> Record:
        """
        Reads a record from a TOML or JSON file.

        Parameters
        ----------
        path : path-like
            The file.

        Returns
        -------
        Record
            With values and units kept as written.

        Raises
        ------
        FileError
            If the file cannot be read.
        CircuitError
            With the file, the line, the key and the nearest known key.
        ExplainError
            If the record says nothing, or contradicts itself.
        """

    @staticmethod
    def loads(text: str) -> Record:
        """
        Reads a record from its TOML or JSON text.

        Parameters
        ----------
        text : str
            The record.

        Returns
        -------
        Record
            With values and units kept as written.

        Raises
        ------
        CircuitError
            With the line, the key and the nearest known key.
        ExplainError
            If the record says nothing, or contradicts itself.
        """

    @property
    def name(self, /) -> str:
        """
        Short name; may be empty.
        """

    @property
    def note(self, /) -> str | None:
        """
        Remark in plain words, if any.
        """

    @property
    def readings(self, /) -> list[Any]:
        """
        What the stick said, each as a dict of texts.
        """

    @property
    def signs(self, /) -> dict[str, bool]:
        """
        Signs that were looked for, and whether they were there.
        """

    def to_json(self, /) -> str:
        """
        The record as JSON.

        Returns
        -------
        str
            Values and units as written.
        """

    def to_toml(self, /) -> str:
        """
        The record as TOML.

        Returns
        -------
        str
            Values and units as written.
        """

@final
class ReducedTime:
    """
    The clock on which a film thins: time divided by kinematic viscosity since a surface was uncovered. Immutable.

    ``s = integral dt / nu(T(t))``. Thick oil ages slowly, so a film that has drained hot stays thin when it cools; with the
    viscosity of the moment in place of s it would seem to grow.

    Parameters
    ----------
    s2_m2 : float
        The value [s2/m2], not negative; 0 for a surface that is just uncovered.

    Raises
    ------
    QuantityError
        If the value is negative or not finite.

    Examples
    --------
    >>> import fillmark as fm
    >>> hot = fm.ReducedTime().after(minutes=5, kinematic_viscosity_mm2_s=14.0)
    >>> round(hot.s2_m2)
    21428571
    >>> hot < hot.after(minutes=20, kinematic_viscosity_mm2_s=127.0)
    True
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ge__(self, value: object, /) -> bool: ...
    def __gt__(self, value: object, /) -> bool: ...
    def __le__(self, value: object, /) -> bool: ...
    def __lt__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(cls, /, s2_m2: SupportsFloat | SupportsIndex = 0.0) -> ReducedTime: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def after(
        self,
        /,
        minutes: Quantity | None = None,
        *,
        seconds: Quantity | None = None,
        hours: Quantity | None = None,
        kinematic_viscosity_mm2_s: Quantity,
    ) -> ReducedTime:
        """
        This reduced time after a further time at one viscosity.

        Parameters
        ----------
        minutes, seconds, hours : quantity
            The further time; exactly one of them.
        kinematic_viscosity_mm2_s : quantity
            Kinematic viscosity meanwhile [mm2/s], above 0.

        Returns
        -------
        ReducedTime

        Raises
        ------
        QuantityError
            If the time is negative or the viscosity not above 0.
        """

    def after_cooling(
        self,
        /,
        minutes: Quantity | None = None,
        *,
        seconds: Quantity | None = None,
        hours: Quantity | None = None,
        fluid: Fluid,
        from_c: Quantity,
        surroundings_c: Quantity,
        time_constant_minutes: Quantity,
    ) -> ReducedTime:
        """
        This reduced time after a further time of cooling: ``T(t) = Ta + (T0 - Ta) exp(-t / time constant)``.

        Parameters
        ----------
        minutes, seconds, hours : quantity
            The further time; exactly one of them.
        fluid : Fluid
            A lubricating oil; viscosity by ASTM D341.
        from_c : quantity
            Temperature at the beginning [°C].
        surroundings_c : quantity
            Temperature that it tends to [°C].
        time_constant_minutes : quantity
            Time in which the difference falls to 37 % [min], above 0.

        Returns
        -------
        ReducedTime

        Raises
        ------
        FluidError
            If the fluid is no lubricating oil or a temperature is outside the range of its viscosity.
        QuantityError
            If a time is outside its range.

        Examples
        --------
        >>> import fillmark as fm
        >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
        >>> cooling = fm.ReducedTime().after_cooling(
        ...     minutes=20, fluid=oil, from_c=90.0, surroundings_c=20.0, time_constant_minutes=30.0)
        >>> cooling < fm.ReducedTime().after(minutes=20, kinematic_viscosity_mm2_s=18.4)
        True
        """

    @property
    def s2_m2(self, /) -> float:
        """
        The value [s2/m2].
        """

@final
class RemoveFilter(Event):
    """
    Takes the filter off, with what it holds.

    Parameters
    ----------
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.RemoveFilter()
    RemoveFilter()
    """

    def __new__(cls, /, *, label: str | None = None, attitude: Attitude | str | None = None) -> RemoveFilter: ...

@final
class Residue:
    """
    What a drain leaves in the circuit, and what it nominally leaves. Made by `Timeline.residue`; prints as a table.

    Volumes are at the reference temperature, so that they compare with the service sheet.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def beyond_nominal_l(self, /) -> float | None:
        """
        Residue less the nominal one [L], by the book where it says, else by the drawing; None where neither does.

        Above zero this drain was the worse one, and the service capacity overfills by as much.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        One entry per place that holds something.

        Returns
        -------
        dict of str to numpy.ndarray
            ``place``, ``part`` (``heel``, ``film``, ``kept``, ``pool`` or ``filter``), ``kg``, ``volume_l`` at the place's own temperature,
            ``reference_l`` at the reference temperature.
        """

    @property
    def film_l(self, /) -> float:
        """
        On walls of stores and of the filler path [L].
        """

    @property
    def filter_l(self, /) -> float:
        """
        In the filter that was not changed [L].
        """

    @property
    def heel_l(self, /) -> float:
        """
        In the sump, where the drain does not reach [L].
        """

    @property
    def kept_l(self, /) -> float:
        """
        In stores, for good [L].
        """

    @property
    def nominal_by_book_l(self, /) -> float | None:
        """
        Nominal residue by the book: dry less service capacity, else ``book.residue`` [L]; None where the book says neither.
        """

    @property
    def nominal_by_geometry_l(self, /) -> float | None:
        """
        Nominal residue by the drawing [L]: the volume at MAX with filter and stores, less the service capacity; None without one.
        """

    @property
    def pool_l(self, /) -> float:
        """
        In stores, not yet back [L].
        """

    @property
    def row(self, /) -> int:
        """
        Row of the timeline it is taken at.
        """

    @property
    def total_kg(self, /) -> float:
        """
        All that stays [kg].
        """

    @property
    def total_l(self, /) -> float:
        """
        All that stays [L].
        """

    @property
    def with_filter(self, /) -> bool:
        """
        Whether the old filter stays on, and so belongs to it.
        """

@final
class Response:
    """
    Height of the free surface over one body point, such as a dipstick's tip, for questions repeated at small attitudes.

    Inside its domain it answers by polynomials that were checked at points they were not fitted to; outside, and where
    no polynomial holds the tolerance, by the exact geometry. Immutable.

    Parameters
    ----------
    sump : Sump
        With a plan form.
    at_mm : tuple of float
        The body point [mm].
    volume_l : tuple of float
        Least and greatest volume of the domain [L].
    nose_up_deg, right_down_deg : tuple of float
        Least and greatest angle of the domain [deg]; may be equal.
    tolerance_mm : quantity
        Largest error [mm], 1e-6 to 10; 0.02 where not given.

    Raises
    ------
    QuantityError, GeometryError
        If the domain is none, or the sump has no plan form.

    Examples
    --------
    >>> import fillmark as fm
    >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    >>> tip = fm.Response(pan, at_mm=(100.0, 0.0, 10.0), volume_l=(2.0, 4.0), nose_up_deg=(-3.0, 3.0), right_down_deg=(-3.0, 3.0))
    >>> round(tip.height_mm(volume_l=3.0, nose_up_deg=0.0, right_down_deg=0.0), 3)
    40.0
    >>> tip.worst_error_mm <= 0.02
    True
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(
        cls,
        /,
        sump: Sump,
        *,
        at_mm: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
        volume_l: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
        nose_up_deg: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
        right_down_deg: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
        tolerance_mm: Quantity | None = None,
    ) -> Response: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def curves(self, /) -> int:
        """
        How many attitudes were computed exactly in building.
        """

    @overload
    def exact_mm(self, /, *, volume_l: Number, nose_up_deg: Number, right_down_deg: Number) -> float:
        """
        The same height from the exact geometry, to see the error.

        Parameters
        ----------
        volume_l : quantity or array
            Volume in the sump [L].
        nose_up_deg, right_down_deg : quantity or array
            Attitude [deg]; the three are broadcast against each other.

        Returns
        -------
        float or ndarray
            Along *up* [mm]; negative when the point is dry.

        Raises
        ------
        ValueError
            If the shapes do not match.
        GeometryError
            If a volume exceeds the capacity or an angle is outside its range.
        """

    @overload
    def exact_mm(self, /, *, volume_l: Quantities, nose_up_deg: Quantities, right_down_deg: Quantities) -> Any: ...
    @property
    def exact_share(self, /) -> float:
        """
        Share of the domain that is left to the exact geometry, 0 to 1.
        """

    @overload
    def height_mm(self, /, *, volume_l: Number, nose_up_deg: Number, right_down_deg: Number) -> float:
        """
        Height of the free surface above the point.

        Parameters
        ----------
        volume_l : quantity or array
            Volume in the sump [L].
        nose_up_deg, right_down_deg : quantity or array
            Attitude [deg]; the three are broadcast against each other.

        Returns
        -------
        float or ndarray
            Along *up* [mm]; negative when the point is dry.

        Raises
        ------
        ValueError
            If the shapes do not match.
        GeometryError
            If a volume exceeds the capacity or an angle is outside its range.
        """

    @overload
    def height_mm(self, /, *, volume_l: Quantities, nose_up_deg: Quantities, right_down_deg: Quantities) -> Any: ...
    @property
    def held_out_points(self, /) -> int:
        """
        How many held-out points that is.
        """

    @property
    def patches(self, /) -> int:
        """
        How many polynomials there are.
        """

    @property
    def sump(self, /) -> Sump:
        """
        The sump.
        """

    @property
    def worst_error_mm(self, /) -> float:
        """
        Largest error at the held-out points of the accepted polynomials [mm].
        """

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
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

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
        attitude: Attitude | str | None = None,
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
    def pools(self, /) -> list[RowPool]:
        """
        The pools of the sump, largest first, where it may hold several at the attitudes of this service; else empty.
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
class RowPool:
    """
    One pool of the sump after an event: liquid that has its own level.

    Examples
    --------
    >>> import fillmark as fm
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> on_a_ramp = fm.Drain(minutes=60, attitude=fm.Attitude(nose_up_deg=4))
    >>> row = fm.simulate(bus, [on_a_ramp]).rows[-1]
    >>> abs(sum(pool.volume_l for pool in row.pools) - row.sump_l) < 1e-9
    True
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def bottom_mm(self, /) -> list[float]:
        """
        A point at the bottom of its basin, body frame: x, y, z [mm].
        """

    @property
    def level_mm(self, /) -> float:
        """
        Level of its surface above the sump's lowest point at the attitude of the event [mm].
        """

    @property
    def mass_kg(self, /) -> float:
        """
        Its mass, all components [kg].
        """

    @property
    def temperature_c(self, /) -> float:
        """
        Its temperature [°C].
        """

    @property
    def under_tip(self, /) -> bool:
        """
        Whether the stick's tip stands in it, or over it: the one pool that the stick sees.
        """

    @property
    def volume_l(self, /) -> float:
        """
        Its volume at its own temperature [L].
        """

@final
class Run(Event):
    """
    Runs the engine, then stops it: everything mixes, the filter fills, the stores take their hold-up, however short the run.

    Parameters
    ----------
    minutes, seconds, hours : quantity
        How long; exactly one of the three.
    temperature_c : quantity, optional
        Temperature of everything in the circuit at the end [°C].
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

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
        attitude: Attitude | str | None = None,
    ) -> Run: ...

@final
class Sensitivity:
    """
    What drives a result. Made by `sensitivity`; prints as a table.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @staticmethod
    def _restore(
        result: str,
        mean: SupportsFloat | SupportsIndex,
        standard_uncertainty: SupportsFloat | SupportsIndex,
        shares: SupportsGetItem[
            int,
            tuple[
                SupportsGetItem[int, str],
                tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
                tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
            ],
        ],
        judgement: SupportsGetItem[int, bool] | None,
    ) -> Sensitivity:
        """
        Rebuilds what a pickle holds.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        The shares, one row for each input or group of inputs.

        Returns
        -------
        dict of str to numpy.ndarray
            ``input`` (names joined by ``" + "``); ``first``, the share of the variance that knowing the inputs would remove
            on average; ``total``, the share that stays when everything else is known; each with the half-width of its
            coverage interval, ``first_half_width`` and ``total_half_width``. Of a service also ``judgement``: whether the input
            is a default that nobody stated, or marked as judgement in the circuit's file.
        """

    @property
    def inputs(self, /) -> list[list[str]]:
        """
        Names of the inputs, those that are correlated in one list.
        """

    @property
    def mean(self, /) -> float:
        """
        Mean of the result.
        """

    @property
    def result(self, /) -> str:
        """
        Name of the result.
        """

    @property
    def standard_uncertainty(self, /) -> float:
        """
        Standard deviation of the result.
        """

@final
class Service:
    """
    Events in order, with a name, a remark and the circuit they are meant for. Immutable; stands wherever events do.

    It is written in three ways, each of which `load` and `loads` read: TOML for people and JSON for exchange, which keep
    values and units as written, and lines of text:

    .. code-block:: text

        name: Monday
        circuit: shuttle-bus

        drain 10 min at 60 degC
        change filter, primed 0.3 L
        pour 6.9 L with jug, oil at 20 degC     # a remark
        run 1 min
        rest 5 min
        read "first dip"

    The other events are, with what may be said of each: ``open plug NAME at 60 degC``, ``close plug``, ``remove filter``,
    ``fit filter, holds 0.5 L``, ``withdraw 0.2 kg``, ``run 20 min to 90 degC``, ``drain 10 min through NAME``,
    ``tilt nose up 2 deg, right down 1 deg``, ``leak 7 L/min while running, called "two gaskets"``, ``use 0.03 L/h``,
    ``ingress fuel 20 mL/min always``, ``stop "two gaskets"``, ``wipe`` and ``read "dip", stick NAME, smear 5 mm, seat offset
    5 mm, tube pressure 100 Pa, higher face``. Any of them may go on with ``called "LABEL"`` and ``standing nose up 3 deg``,
    which holds for that event only.

    Parameters
    ----------
    events : sequence of Event
        What is done, in order.
    name : str, optional
        Short name.
    note : str, optional
        Remark in plain words.
    circuit : str, optional
        The circuit it is meant for: a demo's name, or a file beside that of the service. Finding it is left to the caller.

    Examples
    --------
    >>> import fillmark as fm
    >>> service = fm.Service([fm.Drain(minutes=10), fm.Pour("6.9 L"), fm.Read(label="dip")], name="Monday")
    >>> print(service)
    name: Monday
    <BLANKLINE>
    drain 10 min
    pour 6.9 L
    read "dip"
    >>> fm.simulate(fm.Circuit.demo("shuttle-bus"), service).reading("dip").flag is None
    True
    >>> fm.Service.loads("drain 10 min\\npour 6.9 L\\n")[1]
    Pour('6.9 L')
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __getitem__(self, index: SupportsIndex, /) -> Event: ...
    def __iter__(self, /) -> EventIterator: ...
    def __len__(self, /) -> int: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(
        cls, /, events: Events, *, name: str = "", note: str | None = None, circuit: str | None = None
    ) -> Service: ...
    def __reduce__(self, /) -> tuple[Any, tuple[str]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def circuit(self, /) -> str | None:
        """
        The circuit it is meant for, if it says so: a demo's name, or a file beside that of the service.
        """

    @property
    def events(self, /) -> list[Event]:
        """
        What is done, in order.
        """

    @staticmethod
    def load(path: str | PathLike[str]) -> Service:
        """
        Reads a service from a file: TOML, JSON or lines of text, whichever it is.

        Parameters
        ----------
        path : path-like
            The file.

        Returns
        -------
        Service
            With values and units kept as written.

        Raises
        ------
        FileError
            If the file cannot be read.
        CircuitError, ServiceError
            With the file, the line, the key or word and the nearest that is known.
        """

    @staticmethod
    def loads(text: str) -> Service:
        """
        Reads a service from its text: TOML, JSON or lines of text, whichever it is.

        Text that starts with a brace is JSON; text whose first line that says something is ``[...]`` or ``key = value`` is TOML;
        all else is taken as lines of text.

        Parameters
        ----------
        text : str
            The service.

        Returns
        -------
        Service
            With values and units kept as written.

        Raises
        ------
        CircuitError
            If it is TOML or JSON: with the line, the key and the nearest known key.
        ServiceError
            If it is lines of text: with line and column, the word, what is accepted there and the nearest of it.

        Examples
        --------
        >>> import fillmark as fm
        >>> service = fm.Service.loads('''
        ... format = 1
        ... name = "Monday"
        ...
        ... [[events]]
        ... pour = { volume = "6.9 L", measured_with = "jug" }
        ...
        ... [[events]]
        ... do = "read"
        ... label = "first dip"
        ... ''')
        >>> service.events
        [Pour('6.9 L', measured_with='jug'), Read(label='first dip')]
        """

    @property
    def name(self, /) -> str:
        """
        Short name; may be empty.
        """

    @property
    def note(self, /) -> str | None:
        """
        Remark in plain words, if any.
        """

    def to_json(self, /) -> str:
        """
        The service as JSON.

        Returns
        -------
        str
            Values and units as written.
        """

    def to_text(self, /) -> str:
        """
        The service as lines of text.

        Returns
        -------
        str
            Values and units as written; an uncertain value that was a table in its functional form.
        """

    def to_toml(self, /) -> str:
        """
        The service as TOML.

        Returns
        -------
        str
            Values and units as written.
        """

@final
class Shell:
    """
    One separate part of a surface. Made by `Inspection.shells`.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def bounds_mm(self, /) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """
        Low and high corner of its bounding box [mm].
        """

    @property
    def depth(self, /) -> int:
        """
        How many other parts enclose it.
        """

    @property
    def face_count(self, /) -> int:
        """
        How many faces it has.
        """

    @property
    def kind(self, /) -> str:
        """
        What it is.

        ``"hull"`` (bounds liquid), ``"island"`` (another liquid space), ``"cavity"`` (a body inside liquid) or
        ``"inverted"`` (looks the wrong way for where it lies).
        """

    @property
    def volume_l(self, /) -> float:
        """
        Its signed volume, negative when its faces look inwards [L].
        """

@final
class State:
    """
    Where the liquid is: masses, temperature and age of every place. `simulate` may start from it.

    Parameters
    ----------
    json : str
        As `to_json` gives it.

    Raises
    ------
    CircuitError
        If the text is no state, with the line, the key and the nearest known key.

    Examples
    --------
    >>> import fillmark as fm
    >>> line = fm.simulate(fm.Circuit.demo("shuttle-bus"), [fm.Drain(minutes=10)])
    >>> kept = line.rows[-1].state.to_json()
    >>> fm.State(kept) == line.rows[-1].state
    True
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
class Stop(Event):
    """
    Ends the rate that was begun under a label.

    Parameters
    ----------
    rate : str
        Label of the `Leak`, `Use` or `Ingress`.
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Stop("two gaskets")
    Stop('two gaskets')
    """

    def __new__(cls, /, rate: str, *, label: str | None = None, attitude: Attitude | str | None = None) -> Stop: ...

@final
class Strapping:
    """
    Level, volume and free surface at equal steps of level. Made by `Sump.strapping`.

    Examples
    --------
    >>> import fillmark as fm
    >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    >>> len(pan.strapping(step_mm=1.0))
    101
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __len__(self, /) -> int: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def columns(self, /) -> dict[str, Any]:
        """
        The table by columns, which any dataframe takes.

        Returns
        -------
        dict of str to numpy.ndarray
            ``level_mm``, ``volume_l``, ``free_surface_mm2``, and ``ml_per_mm``: how much a millimetre holds there.
        """

    @property
    def free_surface_mm2(self, /) -> Column:
        """
        Free surface at each, just above (the last: just below) [mm2].
        """

    @property
    def level_mm(self, /) -> Column:
        """
        Levels [mm].
        """

    @property
    def volume_l(self, /) -> Column:
        """
        Volume below each [L].
        """

@final
class SuctionTube:
    """
    A tube put into a sump to draw the oil out. Immutable.

    Energy balance from the free surface to the pump's port, v the mean velocity in the tube, its friction that of a smooth
    pipe: ``vacuum = rho g (rise - head) + (rho v**2 / 2) (1 + 0.5 + f l / d)`` with ``f = 64 / Re`` to Re = 2300 (Poiseuille),
    ``0.3164 Re**-0.25`` from 4000 (Blasius, to 1e5), a straight line between. Entry loss 0.5 from memory. Flow and time have a
    standard relative uncertainty of 15 % (judgement: coiled tubes, couplings and the pump's own curve).

    Parameters
    ----------
    tip_mm : tuple of float
        Where the tip stands, body frame [mm].
    bore_mm : quantity
        Inner diameter [mm], 1 to 100.
    length_mm : quantity
        Length of tube [mm], 10 to 100 000.
    rise_mm : quantity
        Height of the pump's port over the tip [mm], -10 000 to 12 000.
    vacuum_kpa : quantity
        What the pump holds below the air pressure [kPa], 0.001 to 101.325.
    axis : tuple of float
        Direction in which the tube leads away from its tip, body frame, any length; upright where not given, its opening
        level.

    Raises
    ------
    QuantityError
        If a value is outside its range.

    Examples
    --------
    >>> import fillmark as fm
    >>> tube = fm.SuctionTube(tip_mm=(80.0, 0.0, 3.0), bore_mm=6.0, length_mm=1500.0, rise_mm=900.0, vacuum_kpa=70.0)
    >>> pan = fm.Sump.box(length_mm=250.0, width_mm=200.0, height_mm=100.0)
    >>> round(tube.left_l(pan), 2)
    0.3
    >>> tube.breaks_at_mm
    3.0
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(
        cls,
        /,
        *,
        tip_mm: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
        bore_mm: Quantity,
        length_mm: Quantity,
        rise_mm: Quantity,
        vacuum_kpa: Quantity,
        axis: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex]
        | None = None,
    ) -> SuctionTube: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def breaks_at_mm(self, /) -> float:
        """
        Depth over the highest point of the tip's rim at which it begins to draw air: half a bore (judgement) [mm].
        """

    def emptying_columns(
        self,
        /,
        sump: Sump,
        fluid: Fluid,
        *,
        volume_l: Quantity,
        temperature_c: Quantity,
        steps: SupportsIndex = 200,
        attitude: Attitude | None = None,
    ) -> dict[str, Any]:
        """
        How the sump empties until the tip begins to draw air.

        Parameters
        ----------
        sump, fluid : Sump, Fluid
            As `emptying_seconds`.
        volume_l, temperature_c : quantity
            As `emptying_seconds` [L], [°C].
        steps : int
            Equal falls of the surface, 1 to 5000.
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        dict of str to numpy.ndarray
            ``seconds``, ``head_mm`` over the tip, ``level_mm`` of the part it lies in, ``flow_l_min`` and ``left_l`` in the whole
            sump, what is behind ribs included.

        Raises
        ------
        FluidError, GeometryError, CircuitError, QuantityError
            As `emptying_seconds`, and for steps outside their range.

        Examples
        --------
        >>> import fillmark as fm
        >>> tube = fm.SuctionTube(tip_mm=(80.0, 0.0, 3.0), bore_mm=6.0, length_mm=1500.0, rise_mm=900.0, vacuum_kpa=70.0)
        >>> pan = fm.Sump.box(length_mm=250.0, width_mm=200.0, height_mm=100.0)
        >>> oil = fm.Fluid.oil(grade="10W-40")
        >>> c = tube.emptying_columns(pan, oil, volume_l=4.0, temperature_c=70.0)
        >>> c["left_l"][[0, -1]].round(3)
        array([4. , 0.3])
        """

    def emptying_seconds(
        self,
        /,
        sump: Sump,
        fluid: Fluid,
        *,
        volume_l: Quantity,
        temperature_c: Quantity,
        attitude: Attitude | None = None,
    ) -> float:
        """
        Time from starting the pump until the tip begins to draw air [s].

        In the beginning all liquid stands at one common level. Then only the part falls that the tip lies in; what is behind a rib
        stays.

        Parameters
        ----------
        sump : Sump
            What is emptied; the tip is at most 50 mm outside the liquid space.
        fluid : Fluid
            With a viscosity.
        volume_l : quantity
            In the sump at the beginning, at its temperature [L].
        temperature_c : quantity
            Temperature of the fluid [°C].
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        float
            Time [s]; 0 when the tip draws air at once.

        Raises
        ------
        FluidError
            If the vacuum does not lift the oil to the pump, or the fluid has no viscosity there.
        GeometryError
            If the volume is outside the capacity, or the sump has no plan form and is not level.
        CircuitError
            If the tip is not at the sump.
        """

    @overload
    def flow_l_min(self, /, fluid: Fluid, *, temperature_c: Quantity, head_mm: Number) -> float:
        """
        Flow at a depth of oil over the tip.

        Parameters
        ----------
        fluid : Fluid
            With a viscosity.
        temperature_c : quantity
            Its temperature [°C].
        head_mm : quantity or array
            Depth over the tip [mm], 0 to 10 000.

        Returns
        -------
        float or ndarray
            Flow of the depth's shape [L/min].

        Raises
        ------
        FluidError
            If the vacuum does not lift the oil to the pump, or the fluid has no viscosity there.
        QuantityError
            If a depth is outside its range.

        Examples
        --------
        >>> import fillmark as fm
        >>> tube = fm.SuctionTube(tip_mm=(0.0, 0.0, 3.0), bore_mm=6.0, length_mm=1500.0, rise_mm=900.0, vacuum_kpa=70.0)
        >>> oil = fm.Fluid.oil(grade="10W-40")
        >>> cold, hot = (tube.flow_l_min(oil, temperature_c=t, head_mm=80.0) for t in (20.0, 80.0))
        >>> hot > 5.0 * cold
        True
        """

    @overload
    def flow_l_min(self, /, fluid: Fluid, *, temperature_c: Quantity, head_mm: Numbers) -> NDArray[float64]: ...
    @overload
    def flow_l_min(self, /, fluid: Fluid, *, temperature_c: Quantity, head_mm: SupportsTo) -> Any: ...
    def left_between_l(
        self, /, sump: Sump, *, volume_l: Quantity | None = None, attitude: Attitude | None = None
    ) -> tuple[float, float]:
        """
        The least and the most that the tube leaves.

        The least if suction holds down to the lowest point of the tip's rim, the most if it breaks at `breaks_at_mm` over the
        highest.

        Parameters
        ----------
        sump : Sump
            What is emptied.
        volume_l : quantity
            In the sump at the beginning, at one common level [L]; full where not given.
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        tuple of float
            The two volumes [L].

        Raises
        ------
        GeometryError, CircuitError
            As `left_l`.

        Examples
        --------
        >>> import fillmark as fm
        >>> tube = fm.SuctionTube(tip_mm=(80.0, 0.0, 3.0), bore_mm=6.0, length_mm=1500.0, rise_mm=900.0, vacuum_kpa=70.0)
        >>> pan = fm.Sump.box(length_mm=250.0, width_mm=200.0, height_mm=100.0)
        >>> least, most = tube.left_between_l(pan)
        >>> round(least, 6), round(most, 6)
        (0.15, 0.3)
        """

    def left_l(self, /, sump: Sump, *, volume_l: Quantity | None = None, attitude: Attitude | None = None) -> float:
        """
        Volume that the tube leaves when its tip begins to draw air: below that level, and behind ribs.

        Parameters
        ----------
        sump : Sump
            What is emptied.
        volume_l : quantity
            In the sump at the beginning, at one common level [L]; full where not given.
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        float
            Volume [L]: the greater of `left_between_l`.

        Raises
        ------
        GeometryError
            If the volume is outside the capacity, the tip is more than 50 mm outside the liquid space, or the sump has no plan
            form and is not level.
        CircuitError
            If the tip is not at the sump.
        """

    def regime(self, /, fluid: Fluid, *, temperature_c: Quantity, head_mm: Quantity) -> str:
        """
        How the oil flows in the tube at a depth over the tip.

        Parameters
        ----------
        fluid : Fluid
            With a viscosity.
        temperature_c : quantity
            Its temperature [°C].
        head_mm : quantity
            Depth over the tip [mm], 0 to 10 000.

        Returns
        -------
        str
            ``"laminar"``, ``"transitional"`` (Reynolds number 2300 to 4000) or ``"turbulent"``.

        Raises
        ------
        FluidError, QuantityError
            As `flow_l_min`.
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
    def air_locks(self, /, *, vents_mm: ArrayLike | None = None, attitude: Attitude | None = None) -> list[AirLock]:
        """
        Spaces that stay filled with air as liquid rises everywhere, largest first.

        A space is cut off when liquid passes the way to its neighbours, or the highest vent in it.

        Parameters
        ----------
        vents_mm : array of float, shape (n, 3)
            Where air can leave, body frame [mm]; at most 50 mm outside the liquid space. The top where not given: whatever is
            highest when the body stands level.
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        list of AirLock
            Empty when all air can leave.

        Raises
        ------
        GeometryError
            If a vent is too far outside, or the sump has no plan form.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> pan.air_locks()
        []
        >>> lock = pan.air_locks(vents_mm=[(150.0, 0.0, 60.0)])[0]
        >>> round(lock.level_mm, 9), round(lock.volume_l, 9)
        (60.0, 2.4)
        """

    def basins(self, /, *, attitude: Attitude | None = None) -> Basins:
        """
        All basins at an attitude: places where liquid can stand by itself.

        Components of the liquid space below a rising level make a merge tree; each of its branches is a basin. Tips of
        bodies that hang in liquid are none.

        Parameters
        ----------
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        Basins
            Children before parents.

        Raises
        ------
        GeometryError
            If the sump has no plan form.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> print(pan.basins())
          0  lowest (-150.0, -100.0, 0.0) mm      6.000 L  to the top
        """

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

    @staticmethod
    def cylinder(
        *,
        diameter_mm: Quantity,
        length_mm: Quantity,
        axis: str = "z",
        ends: Ends | None = None,
        facet_tolerance: Quantity | None = None,
    ) -> Sump:
        """
        A cylinder, upright or lying, with its ends.

        Curved walls are flat facets of equal area; the repr says how many. Upright, the origin is on the axis at the
        low end of the barrel; lying, on the axis at its middle.

        Parameters
        ----------
        diameter_mm : quantity
            Inner diameter [mm].
        length_mm : quantity
            Length of the straight barrel, without the ends [mm].
        axis : {"z", "x", "y"}
            Direction of the axis: upright, along the body or across it.
        ends : End or pair of End
            Both, or first the low, rear or right one; flat where not given.
        facet_tolerance : quantity
            Largest volume error of the facets at any level and attitude, as a fraction of the capacity [1], 1e-6 to 1e-2; 1e-5
            where not given. Levels count from the lowest point of the true shape, not of its facets.

        Returns
        -------
        Sump
            A flat-ended one holds ``pi d^2 l / 4`` within the facet tolerance.

        Raises
        ------
        QuantityError, GeometryError
            If a value is outside its range, with its name.

        Examples
        --------
        >>> import fillmark as fm
        >>> tank = fm.Sump.cylinder(diameter_mm=250.0, length_mm=300.0, axis="x", ends=fm.End.ellipsoidal())
        >>> round(tank.capacity_l, 3)
        18.817
        """

    @overload
    def depth_mm(
        self,
        /,
        at_mm: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
        *,
        level_mm: Number,
        attitude: Attitude | None = None,
    ) -> float:
        """
        Depth of a point of the body below the free surface, along *up*.

        Parameters
        ----------
        at_mm : tuple of float
            The point, body frame [mm].
        level_mm : quantity or array
            Level above the lowest point at this attitude [mm].
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        float or ndarray
            Of the level's shape [mm]; negative where the point is above the surface.

        Raises
        ------
        GeometryError
            If the sump has no plan form and is not level.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> round(pan.depth_mm((0.0, 0.0, 20.0), level_mm=50.0), 9)
        30.0
        """

    @overload
    def depth_mm(
        self,
        /,
        at_mm: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
        *,
        level_mm: Numbers,
        attitude: Attitude | None = None,
    ) -> NDArray[float64]: ...
    @overload
    def depth_mm(
        self,
        /,
        at_mm: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
        *,
        level_mm: SupportsTo,
        attitude: Attitude | None = None,
    ) -> Any: ...
    def direct_volume_l(self, /, *, level_mm: Quantity, attitude: Attitude | None = None) -> float:
        """
        Volume below a level without preparing a curve, for a single question at an attitude.

        `volume_l` prepares the whole curve of an attitude first, which pays where an attitude is asked often; this looks
        only at the faces near the level. A sump of more than some 4,000 faces puts them in blocks at its first such
        question, which takes about as long as preparing one curve. The two agree within 1e-12 of the capacity.

        Parameters
        ----------
        level_mm : quantity
            Level above the lowest point at this attitude [mm], 0 to the height there.
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        float
            Volume [L].

        Raises
        ------
        GeometryError
            If the level is outside the sump, or the sump has no plan form.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> round(pan.direct_volume_l(level_mm=50.0), 9)
        3.0
        """

    @staticmethod
    def expanded(
        sump: Sump,
        *,
        temperature_c: Quantity,
        metal: str | None = None,
        expansion_ppm_k: Quantity | None = None,
        drawn_at_c: Quantity | None = None,
    ) -> Sump:
        """
        A sump at a temperature: with every length times the cube root of ``1 + 3 alpha (t - t_drawn)``.

        So every volume is that of the drawing times ``1 + 3 alpha (t - t_drawn)``, as `capacity_ratio` gives it.

        Parameters
        ----------
        sump : Sump
            As drawn.
        temperature_c : quantity
            Its temperature [°C], -60 to 200.
        metal : {"mild steel", "stainless 304", "stainless 316", "cast aluminium"}
            What it is made of, which gives alpha.
        expansion_ppm_k : quantity
            In place of it, alpha itself [ppm/K], 0 to 500: the linear expansion.
        drawn_at_c : quantity
            Temperature at which the drawing holds [°C]; 20 where not given (ISO 1, from memory).

        Returns
        -------
        Sump

        Raises
        ------
        FluidError
            If a temperature is outside the range.
        QuantityError
            If the expansion is outside its range.
        TypeError
            If neither a metal nor an expansion is given, or both.
        ValueError
            If the metal is unknown.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> warm = fm.Sump.expanded(pan, temperature_c=90.0, metal="cast aluminium")
        >>> round(warm.capacity_l, 4)
        6.0277
        """

    @property
    def face_count(self, /) -> int | None:
        """
        How many triangles the mesh has; None for a sump known by a table or a span.
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
    def from_floor(*, x_mm: Quantities, y_mm: Quantities, z_mm: ArrayLike, top_mm: Quantity) -> Sump:
        """
        A sump whose floor was measured on a grid: floor bilinear between points, upright walls, flat top.

        Parameters
        ----------
        x_mm, y_mm : array
            Rising positions of the grid, at least two each [mm].
        z_mm : array of float, shape (len(x_mm), len(y_mm))
            Height of the floor at every pair [mm].
        top_mm : quantity
            Height of the flat top, above all of the floor [mm].

        Returns
        -------
        Sump
            Holding the mean depth of every cell times its area.

        Raises
        ------
        ValueError
            If the shapes do not match.
        GeometryError
            If positions do not rise, or the floor reaches the top, with the place.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.from_floor(x_mm=[0, 100, 300], y_mm=[0, 200], z_mm=[[0, 0], [0, 0], [40, 40]], top_mm=90)
        >>> round(pan.capacity_l, 9)
        4.6
        """

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
    def from_sections(*, at_mm: Quantities, outlines_mm: ArrayLike) -> Sump:
        """
        A sump through cross-sections at rising stations along x: flat ends, straight lines between matching points.

        Parameters
        ----------
        at_mm : array
            Rising positions of the sections along x, at least two [mm].
        outlines_mm : array of float, shape (n, m, 2)
            Outline of each section as (y, z), in either sense; the same number of points in matching order [mm].

        Returns
        -------
        Sump
            Twisted sides are ruled surfaces, kept by four triangles around the middle of each.

        Raises
        ------
        ValueError
            If the two do not match in shape.
        GeometryError
            If stations do not rise, or an outline crosses itself or encloses nothing.

        Examples
        --------
        >>> import fillmark as fm
        >>> small = [(-50.0, 0.0), (50.0, 0.0), (50.0, 60.0), (-50.0, 60.0)]
        >>> large = [(-80.0, -20.0), (80.0, -20.0), (80.0, 60.0), (-80.0, 60.0)]
        >>> pan = fm.Sump.from_sections(at_mm=[0.0, 300.0], outlines_mm=[small, large])
        >>> round(pan.capacity_l, 9)
        2.76
        """

    @staticmethod
    def from_span(
        *,
        span_l: Quantity,
        span_mm: Quantity,
        at_max_l: Quantity,
        capacity_l: Quantity | None = None,
        centroid_mm: ArrayLike | None = None,
    ) -> Sump:
        """
        A sump known by its marks alone: straight-sided, with the free surface that the span implies.

        It serves level ground only; with the centroid of its free surface, tilts up to 10 deg as in `from_table`.

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
        centroid_mm : array of float, shape (2,)
            Centroid of the free surface, x and y in the body frame [mm].

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
    def from_table(*, level_mm: Quantities, volume_l: Quantities, centroid_mm: ArrayLike | None = None) -> Sump:
        """
        A sump known by a strapping table, straight between its rows.

        It serves level ground only; with the centroid of its free surface, tilts up to 10 deg between *up* and the body's z
        axis (judgement).

        Off level the free surface is then taken as the plane normal to *up* through the centroid at the table's level for the
        volume, level 0 of the table being the body's z = 0. That is right to first order in the tilt, and exact between upright
        walls while the surface meets neither floor nor lid, of which a table knows nothing. Between leaning walls it is
        ``tan(t)^2 / 2 * dI/dz`` of volume off, t the tilt and I the second moment of the free surface about the axis of the tilt: for the
        drawn sump of the demo 0.006 mm at 1 deg and 0.09 mm at 4 deg, but 5 mm where the tilted surface passes over its
        shelf. Levels are counted, along *up*, from the body point at the centroid of the first row and z = 0.

        Parameters
        ----------
        level_mm : array
            Levels, rising [mm].
        volume_l : array
            Volume at each level, rising [L].
        centroid_mm : array of float, shape (2,) or (n, 2)
            Centroid of the free surface, x and y in the body frame [mm]: for all levels, or for each.

        Returns
        -------
        Sump
            Between the first and the last row.

        Raises
        ------
        GeometryError
            If there are fewer than two rows, a row does not rise, or there are more centroids than one but not one for each row.
        ValueError
            If the two have different lengths, or `centroid_mm` another shape.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.from_table(level_mm=[0.0, 40.0, 90.0], volume_l=[0.0, 2.0, 6.0])
        >>> round(pan.volume_l(level_mm=65.0), 9)
        4.0
        >>> pan = fm.Sump.from_table(level_mm=[0.0, 100.0], volume_l=[0.0, 6.0], centroid_mm=(40.0, 0.0))
        >>> up = fm.Attitude(nose_up_deg=5.0)
        >>> round(pan.depth_mm((-100.0, 0.0, 10.0), level_mm=pan.level_mm(volume_l=3.0, attitude=up), attitude=up), 3)
        52.05
        """

    def heel_l(self, /, outlets: Outlets, *, attitude: Attitude | None = None) -> float:
        """
        The heel: what stays in a full sump when everything leaves that can, film aside.

        What is joined to a plug's rim at the height of its lowest point stays at that height; everything else stays at
        its sill on the way there. A suction tube draws air when the level is half a bore (judgement) above the highest point
        of its rim.

        Parameters
        ----------
        outlets : Plug or sequence of Plug or SuctionTube
            What is open; at most 50 mm outside the liquid space.
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        float
            Volume [L].

        Raises
        ------
        GeometryError
            If an outlet is too far outside, or the sump has no plan form.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=220.0, height_mm=100.0)
        >>> plug = fm.Plug(at_mm=(144.0, 0.0, 0.0), bore_mm=12.0)
        >>> round(pan.heel_l(plug, attitude=fm.Attitude(nose_up_deg=1.0)), 3)
        0.159
        """

    def heel_map(self, /, outlets: Outlets, *, nose_up_deg: Quantities, right_down_deg: Quantities) -> HeelMap:
        """
        The heel over pitch and roll, to see which end should be up.

        Parameters
        ----------
        outlets : Plug or sequence of Plug or SuctionTube
            As in `heel_l`.
        nose_up_deg, right_down_deg : quantity or array
            Angles [deg]; every one of the first is taken with every one of the second.

        Returns
        -------
        HeelMap
            With ``heel_l`` of shape (pitch, roll). Ctrl-C stops it.

        Raises
        ------
        GeometryError
            If an outlet is too far outside, an angle is not between -90 and 90 deg, or the sump has no plan form.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=220.0, height_mm=100.0)
        >>> plug = fm.Plug(at_mm=(144.0, 0.0, 0.0), bore_mm=12.0)
        >>> pan.heel_map(plug, nose_up_deg=[-1.0, 1.0], right_down_deg=0.0).heel_l.round(3)
        array([[0.   ],
               [0.159]])
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

    def inspect(self, /) -> Inspection:
        """
        Looks at the sump's surface for everything that may not be meant: slivers, several spaces, an unlikely size.

        Returns
        -------
        Inspection
            Without fatal findings, because a sump would not have been made; `inspect_mesh` and `inspect_stl` look at
            surfaces that are refused.

        Raises
        ------
        GeometryError
            If the sump is known by a table or a span.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> pan.inspect().findings
        []
        >>> [shell.kind for shell in pan.inspect().shells]
        ['hull']
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
    def pools_l(self, /, *, level_mm: Quantity, attitude: Attitude | None = None) -> Column:
        """
        Volumes of the separate pools below one common level, largest first.

        Parameters
        ----------
        level_mm : quantity
            Level above the lowest point at this attitude [mm], 0 to the height there.
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        ndarray
            Volumes [L]; their sum is ``volume_l(level_mm=level_mm, attitude=attitude)``.

        Raises
        ------
        GeometryError
            If the level is outside the sump, or the sump has no plan form.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> pan.pools_l(level_mm=50.0).round(9)
        array([3.])
        """

    def rotated(
        self,
        /,
        axis: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
        *,
        angle_deg: Quantity,
    ) -> Sump:
        """
        The sump turned about an axis through the origin.

        Parameters
        ----------
        axis : tuple of float
            Direction of the axis in the body frame, of any length.
        angle_deg : quantity
            By the right-hand rule [deg].

        Returns
        -------
        Sump
            Every vertex v becomes ``v cos a + (k x v) sin a + k (k . v)(1 - cos a)`` (Rodrigues' formula).

        Raises
        ------
        QuantityError, GeometryError
            If the axis has no direction, or the sump is known by a table or a span.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> round(pan.rotated((0.0, 1.0, 0.0), angle_deg=90.0).height_mm(), 9)
        300.0
        """

    def scaled(self, /, factor: Quantity) -> Sump:
        """
        The sump with every length multiplied by a factor, about the origin; volumes go with its cube.

        Parameters
        ----------
        factor : quantity
            The factor [1], 0.001 to 1000.

        Returns
        -------
        Sump
            Of the same shape.

        Raises
        ------
        QuantityError, GeometryError
            If the factor or the size is outside its range.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> round(pan.scaled(0.5).capacity_l, 9)
        0.75
        """

    @staticmethod
    def stepped(
        *,
        length_mm: Quantity,
        width_mm: Quantity,
        tray_height_mm: Quantity,
        well_length_mm: Quantity,
        well_depth_mm: Quantity,
        well_from_rear_mm: Quantity | None = None,
    ) -> Sump:
        """
        A shallow tray with a deep well over its full width.

        The origin is on the well's floor, at the middle of the tray's length and width.

        Parameters
        ----------
        length_mm, width_mm, tray_height_mm : quantity
            Sides of the space above the tray's floor, along x, y and z [mm], 1 to 20 000.
        well_length_mm, well_depth_mm : quantity
            Length of the well along x, at most that of the tray, and its depth below the tray's floor [mm].
        well_from_rear_mm : quantity
            How far the well's rear wall is ahead of the tray's [mm]; 0 (the well is at the rear) where not given.

        Returns
        -------
        Sump
            Of ``width (length tray_height + well_length well_depth)``.

        Raises
        ------
        QuantityError, GeometryError
            If a side is outside its range, or the well does not fit.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.stepped(
        ...     length_mm=300.0, width_mm=200.0, tray_height_mm=50.0, well_length_mm=120.0, well_depth_mm=60.0
        ... )
        >>> round(pan.capacity_l, 9)
        4.44
        """

    def strapping(self, /, *, step_mm: Quantity, attitude: Attitude | None = None) -> Strapping:
        """
        The strapping table: level, volume and free surface at equal steps of level.

        Parameters
        ----------
        step_mm : quantity
            Step of level [mm]; at most a million rows.
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        Strapping
            From the lowest level; the last row is the highest level, whatever the step.

        Raises
        ------
        QuantityError
            If the step is outside its range.
        GeometryError
            If the sump has no plan form and is not level.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> table = pan.strapping(step_mm=25.0).columns()
        >>> table["volume_l"].round(9)
        array([0. , 1.5, 3. , 4.5, 6. ])
        >>> table["ml_per_mm"].round(6)
        array([60., 60., 60., 60., 60.])
        """

    def surface(self, /, *, level_mm: Quantity, attitude: Attitude | None = None) -> Surface:
        """
        The free surface at a level: a plane in the body frame, its wet area and the centroid of that.

        Parameters
        ----------
        level_mm : quantity
            Level above the lowest point at this attitude [mm], 0 to the height there.
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        Surface
            At constant volume it turns about its centroid when the body tilts a little more.

        Raises
        ------
        GeometryError
            If the level is outside the sump, or the sump has no plan form.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> pan.surface(level_mm=50.0).centroid_mm
        (0.0, 0.0, 50.0)
        """

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

    def translated(
        self,
        /,
        by_mm: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
    ) -> Sump:
        """
        The sump moved in the body frame.

        Parameters
        ----------
        by_mm : tuple of float
            Forward, to the left, up [mm].

        Returns
        -------
        Sump
            Of the same volume.

        Raises
        ------
        GeometryError
            If the sump is known by a table or a span, which has no place.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> pan.translated((0.0, 0.0, -100.0))
        Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0).translated(by_mm=(0.0, 0.0, -100.0))
        """

    @overload
    def ullage_l(self, /, *, level_mm: Number, attitude: Attitude | None = None) -> float:
        """
        Ullage: the room left above a level.

        Parameters
        ----------
        level_mm : quantity or array
            Level above the lowest point at this attitude [mm], 0 to the height there.
        attitude : Attitude
            How the body stands; level where not given.

        Returns
        -------
        float or ndarray
            The capacity less the volume below the level, of its shape [L].

        Raises
        ------
        GeometryError
            If a level is outside the sump, or the sump has no plan form and is not level.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> round(pan.ullage_l(level_mm=80.0), 9)
        1.2
        """

    @overload
    def ullage_l(self, /, *, level_mm: Numbers, attitude: Attitude | None = None) -> NDArray[float64]: ...
    @overload
    def ullage_l(self, /, *, level_mm: SupportsTo, attitude: Attitude | None = None) -> Any: ...
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
    def wetted(
        self, /, *, level_mm: Quantities, attitude: Attitude | None = None, floor_slope_deg: Quantity | None = None
    ) -> WettedArea:
        """
        Area of the inner surface that liquid wets below a level, by slope: floor, walls, ceiling.

        Parameters
        ----------
        level_mm : quantity or array
            Level above the lowest point at this attitude [mm]; nothing is wet below 0, everything above the height.
        attitude : Attitude
            How the body stands; level where not given.
        floor_slope_deg : quantity
            A face is floor (or ceiling) up to this slope against the horizontal [deg], 0 to 90; 10 where not given
            (judgement).

        Returns
        -------
        WettedArea
            Floats or arrays of the level's shape.

        Raises
        ------
        QuantityError
            If the slope is outside its range.
        GeometryError
            If the sump has no plan form.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> wet = pan.wetted(level_mm=50.0)
        >>> round(wet.floor_mm2, 6), round(wet.walls_mm2, 6), wet.ceiling_mm2
        (60000.0, 50000.0, 0.0)
        """

    def with_displacer(self, /, body: Sump) -> Sump:
        """
        The sump with a closed body inside it that takes up room, such as a pickup or a windage tray.

        Parameters
        ----------
        body : Sump
            The body's shape, wholly within the liquid space.

        Returns
        -------
        Sump
            Less the body's volume.

        Raises
        ------
        GeometryError
            If the body touches or cuts a wall or another body (within 1 micrometre), or lies outside, with the place:
            such a body must be subtracted in the drawing of the liquid space.

        Examples
        --------
        >>> import fillmark as fm
        >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
        >>> pickup = fm.Sump.box(length_mm=60.0, width_mm=40.0, height_mm=20.0).translated((0.0, 0.0, 15.0))
        >>> round(pan.with_displacer(pickup).capacity_l, 9)
        5.952
        """

@final
class Surface:
    """
    The free surface at a level: a plane in the body frame. Made by `Sump.surface`.

    Examples
    --------
    >>> import fillmark as fm
    >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    >>> top = pan.surface(level_mm=60.0, attitude=fm.Attitude(nose_up_deg=1.0))
    >>> round(top.depth_mm((0.0, 0.0, 0.0)), 3)
    57.382
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def area_mm2(self, /) -> float:
        """
        Wet area, just above the level (at the top: just below) [mm2].
        """

    @property
    def centroid_mm(self, /) -> tuple[float, float, float] | None:
        """
        Centroid of the wet area, body frame [mm]; None where there is none (at the very top).
        """

    def depth_mm(
        self,
        /,
        at_mm: tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
    ) -> float:
        """
        Depth of a point of the body below the plane.

        Parameters
        ----------
        at_mm : tuple of float
            The point, body frame [mm].

        Returns
        -------
        float
            Along *up* [mm]; negative above the plane.
        """

    @property
    def offset_mm(self, /) -> float:
        """
        Where the plane lies: every point of it has this component along `up` [mm].
        """

    @property
    def up(self, /) -> tuple[float, float, float]:
        """
        Unit normal of the plane, pointing up, in the body frame [1].
        """

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

    def __new__(cls, /, to: Attitude | str, *, label: str | None = None) -> Tilt: ...

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
    def assess(
        self,
        /,
        *,
        hot_temperature_c: Quantity | None = None,
        attitude: Attitude | None = None,
        surge_deg: Quantity | None = None,
    ) -> Assessment:
        """
        What the end of this service means: level against the marks, gap to the crank, depth of the pickup.

        As `fillmark.assess`, with every input at its nominal value: every probability is 0 or 1.

        Parameters
        ----------
        hot_temperature_c : quantity
            Temperature of the static hot level [°C], 20 to 150; 90 where not given.
        attitude : Attitude, optional
            How the vehicle stands then; as the marks' reference where not given.
        surge_deg : quantity
            Tilt in any of four directions that surge adds to a run's attitude [deg], 0 to 45; none where not given.

        Returns
        -------
        Assessment
            Of one draw.

        Raises
        ------
        QuantityError
            If an option is out of range.
        """

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
            ``event``, ``label``, ``level_mm``, ``sump_l``, ``circuit_l`` (everything in the circuit, each place at its temperature), and ``mm``, ``fraction`` of the reading (NaN where none).
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

    def residue(self, /, row: SupportsIndex | None = None) -> Residue:
        """
        What a drain leaves in the circuit, against the nominal residue that the service capacity contains.

        Parameters
        ----------
        row : int, optional
            Row of the timeline, 0 the start, -1 the last; the one before the pour that follows the last drain where not given.

        Returns
        -------
        Residue
            Heel, films, what stores keep or have not given back, and the filter unless it was changed or taken off.

        Raises
        ------
        ServiceError
            If there is no such row.

        Examples
        --------
        >>> import fillmark as fm
        >>> bus = fm.Circuit.demo("shuttle-bus")
        >>> left = fm.simulate(bus, [fm.Drain(minutes=10, temperature_c=60), fm.ChangeFilter()]).residue()
        >>> left.total_l > left.heel_l > 0.2
        True
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

        Below zero the sump is dry, and filter and stores lack so much of what is theirs.
        """

    @property
    def v_max_l(self, /) -> float:
        """
        Volume below MAX in the reference condition [L].
        """

@final
class Tornado:
    """
    The effects of every uncertain input on a result. Made by `tornado`; prints as a table.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @staticmethod
    def _restore(
        result: str,
        nominal: SupportsFloat | SupportsIndex,
        bars: SupportsGetItem[
            int,
            tuple[
                str,
                tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
                tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
            ],
        ],
        units: SupportsGetItem[int, str] | None,
    ) -> Tornado:
        """
        Rebuilds what a pickle holds.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        One row for each uncertain input, the one that moves the result most first.

        Returns
        -------
        dict of str to numpy.ndarray
            ``input``, ``low`` and ``high`` (the ends of its interval), ``at_low`` and ``at_high`` (the result there). Of a service
            also ``unit``, that of ``low`` and ``high``.
        """

    @property
    def nominal(self, /) -> float:
        """
        The result with every input at its nominal value.
        """

    @property
    def result(self, /) -> str:
        """
        Name of the result.
        """

@final
class Trend:
    """
    A rate from readings over use. Made by `trend`; prints as a summary.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def change_over(self, /) -> Band | None:
        """
        Where the rate changed, if it did [unit of use]; None where no draw has a change.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        The line through the record and half its length ahead.

        Returns
        -------
        dict of str to numpy.ndarray
            ``over``; ``mm``, the true reading (median), with ``low_mm`` and ``high_mm``.
        """

    @property
    def jump_l(self, /) -> Band | None:
        """
        Volume of the jump, if there was one [L]; None where no draw has one.
        """

    @property
    def jump_over(self, /) -> Band | None:
        """
        Where the jump was, if there was one: the middle of a gap between readings [unit of use]; None where no draw has one.
        """

    @property
    def probability_change(self, /) -> float:
        """
        Probability that the rate changed within the record.
        """

    @property
    def probability_jump(self, /) -> float:
        """
        Probability of a jump that nobody recorded.
        """

    @property
    def probability_max(self, /) -> float | None:
        """
        Probability that the present rate leads to MAX, or that the level stands above it already; None without marks.
        """

    @property
    def probability_min(self, /) -> float | None:
        """
        Probability that the present rate leads to MIN, or that the level stands below it already; None without marks.
        """

    @property
    def rate_before_l(self, /) -> Band:
        """
        Net gain at the beginning of the record [L per `per` of use].
        """

    @property
    def rate_l(self, /) -> Band:
        """
        Net gain at the end of the record [L per `per` of use]: what comes in less what is used; below 0 where oil is lost.
        """

    @property
    def reaches_max(self, /) -> Band | None:
        """
        Use at which MAX is reached [unit of use], likewise.
        """

    @property
    def reaches_min(self, /) -> Band | None:
        """
        Use at which MIN is reached, if nothing more is added and the present rate goes on [unit of use]; None without marks.

        Infinite for draws whose rate leads away from MIN; the end of the record for those that stand below it already. Where either holds more draws
        than half of what the coverage leaves out, the band ends there and leaves the whole out on its other side.
        """

    @property
    def reading_now_mm(self, /) -> Band:
        """
        The true reading at the end of the record, additions included [mm].
        """

    def ridge(self, /, *, most_l: Quantity, rows: SupportsIndex = 21) -> dict[str, Any]:
        """
        Pairs of ingress and use that the readings cannot tell apart: fuel or coolant in and oil out.

        The level shows only the net gain, so ``use = ingress - net gain`` is a ridge on which every pair explains the readings equally well. Only
        another observation picks one: fuel in a sample, viscosity, flash point, coolant that falls.

        Parameters
        ----------
        most_l : quantity
            Highest ingress [L per `per` of use].
        rows : int
            How many pairs, from no ingress to that; 2 to 10 000.

        Returns
        -------
        dict of str to numpy.ndarray
            ``ingress_l``; ``use_l`` with ``low_use_l`` and ``high_use_l``, given that ingress [L per `per` of use].
        """

    @property
    def scatter_mm(self, /) -> Band:
        """
        Scatter of a reading, as the readings leave it [mm].
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
    def arcsine(low: SupportsFloat | SupportsIndex, high: SupportsFloat | SupportsIndex, unit: str = "1") -> Uncertain:
        """
        Arcsine (U-shaped) distribution between limits: a quantity that swings as a sine (JCGM 101, 6.4.6).

        Its standard deviation is ``(high - low)/sqrt(8)``.

        Parameters
        ----------
        low, high : float
            The limits, in `unit`.
        unit : str
            Such as ``"degC"``.

        Returns
        -------
        Uncertain
        """

    @staticmethod
    def beta(
        low: SupportsFloat | SupportsIndex,
        high: SupportsFloat | SupportsIndex,
        alpha: SupportsFloat | SupportsIndex,
        beta: SupportsFloat | SupportsIndex,
        unit: str = "1",
    ) -> Uncertain:
        """
        Beta distribution stretched to limits.

        Parameters
        ----------
        low, high : float
            The limits, in `unit`.
        alpha, beta : float
            The shapes, 0.1 to 100 000, without unit.
        unit : str
            Such as ``"L"``.

        Returns
        -------
        Uncertain
        """

    def cdf(self, /, value: SupportsFloat | SupportsIndex) -> float:
        """
        Probability that the quantity is at most `value`.

        Parameters
        ----------
        value : float
            In the unit of the text.

        Returns
        -------
        float
            0 to 1.
        """

    @property
    def degrees_of_freedom(self, /) -> float:
        """
        Degrees of freedom of the standard uncertainty (JCGM 100, G.3 and G.4.2); infinite where it is taken as exact.
        """

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
            Its two ends, in the unit of the text.

        Raises
        ------
        QuantityError
            If the probability is out of range.

        Examples
        --------
        >>> import fillmark as fm
        >>> fm.Uncertain("0.30 .. 0.40 L").interval(0.5)
        (0.325, 0.375)
        """

    @staticmethod
    def lognormal(
        median: SupportsFloat | SupportsIndex, sigma: SupportsFloat | SupportsIndex, unit: str = "1"
    ) -> Uncertain:
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
    def mean(self, /) -> float:
        """
        Expectation, in the unit of the text; of a t-distribution its centre.
        """

    @property
    def median(self, /) -> float:
        """
        Median, in the unit of the text.
        """

    @property
    def nominal(self, /) -> float:
        """
        Nominal value, in the unit of the text: mean, midpoint, or median of a lognormal.
        """

    @staticmethod
    def normal(
        mean: SupportsFloat | SupportsIndex, standard_uncertainty: SupportsFloat | SupportsIndex, unit: str = "1"
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
    def pert(
        low: SupportsFloat | SupportsIndex,
        mode: SupportsFloat | SupportsIndex,
        high: SupportsFloat | SupportsIndex,
        unit: str = "1",
    ) -> Uncertain:
        """
        PERT: the beta distribution of a lowest, a most likely and a highest value.

        Its mean is ``(low + 4*mode + high)/6`` (Malcolm, Roseboom, Clark and Fazar 1959, Operations Research 7:646); its
        shapes are ``1 + 4*(mode - low)/(high - low)`` and ``1 + 4*(high - mode)/(high - low)``.

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

    def quantile(self, /, probability: SupportsFloat | SupportsIndex) -> float:
        """
        Value below which the quantity falls with a probability: the inverse of `cdf`.

        Parameters
        ----------
        probability : float
            0 to 1; the ends give the limits, which may be infinite.

        Returns
        -------
        float
            In the unit of the text.

        Raises
        ------
        QuantityError
            If the probability is out of range.
        """

    @staticmethod
    def rectangular(
        low: SupportsFloat | SupportsIndex,
        high: SupportsFloat | SupportsIndex,
        unit: str = "1",
        *,
        limits_within: SupportsFloat | SupportsIndex | None = None,
    ) -> Uncertain:
        """
        Rectangular distribution between limits (JCGM 101, 6.4.2).

        Parameters
        ----------
        low, high : float
            The limits, in `unit`.
        unit : str
            Such as ``"L"``.
        limits_within : float, optional
            How far each limit may itself lie from what is said, at most half of ``high - low``: then the distribution is the
            curvilinear trapezoid of JCGM 101, 6.4.3, with standard deviation ``sqrt((high - low)**2/12 + limits_within**2/9)``.

        Returns
        -------
        Uncertain

        Examples
        --------
        >>> import fillmark as fm
        >>> fm.Uncertain.rectangular(-0.05, 0.05, "K", limits_within=0.025).degrees_of_freedom
        2.0
        """

    @staticmethod
    def samples(values: Quantities, unit: str = "1") -> Uncertain:
        """
        Each of these values with the same probability: draws from an earlier analysis.

        A draw is one of the values, never a number between two of them.

        Parameters
        ----------
        values : sequence of float
            Two or more, finite, not all equal, in `unit`.
        unit : str
            Such as ``"L"``.

        Returns
        -------
        Uncertain
        """

    @property
    def standard_deviation(self, /) -> float:
        """
        Standard deviation of the distribution, in the unit of the text; infinite for two or fewer degrees of freedom.
        """

    @property
    def standard_uncertainty(self, /) -> float:
        """
        Standard uncertainty, in the unit of the text, as JCGM 100 uses it: as stated where it comes with degrees of freedom.
        """

    @staticmethod
    def t(
        estimate: SupportsFloat | SupportsIndex,
        standard_uncertainty: SupportsFloat | SupportsIndex,
        degrees_of_freedom: SupportsFloat | SupportsIndex,
        unit: str = "1",
    ) -> Uncertain:
        """
        Scaled and shifted t-distribution: few degrees of freedom (JCGM 101, 6.4.9).

        For the mean of n readings with experimental standard deviation s, state ``s/sqrt(n)`` and ``n - 1``; for a
        certificate, ``U/k`` and its effective degrees of freedom.

        Parameters
        ----------
        estimate : float
            In `unit`.
        standard_uncertainty : float
            As stated, above 0, in `unit`. The standard deviation of the distribution is larger by ``sqrt(v/(v - 2))``.
        degrees_of_freedom : float
            v, 1 or more.
        unit : str
            Such as ``"L"``.

        Returns
        -------
        Uncertain

        Examples
        --------
        >>> import fillmark as fm
        >>> mean_of_five = fm.Uncertain.t(43.2, 0.4, 4, "mm")
        >>> mean_of_five.standard_uncertainty, round(mean_of_five.standard_deviation, 4)
        (0.4, 0.5657)
        """

    @staticmethod
    def triangular(
        low: SupportsFloat | SupportsIndex,
        mode: SupportsFloat | SupportsIndex,
        high: SupportsFloat | SupportsIndex,
        unit: str = "1",
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
        unit: str = "1",
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
class Unknown:
    """
    A size that a hypothesis leaves open, with what is known of it beforehand: stands in the events of a hypothesis.

    The same name in two fields is one size.

    Parameters
    ----------
    name : str
        What it is called.
    prior : str or Uncertain
        Such as ``"0.2 .. 0.8 L"`` or ``"lognormal(0.3, 0.6) L"``.

    Raises
    ------
    QuantityError
        If the text cannot be read.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Unknown("a second can", "0.9 .. 1.1 L")
    Unknown('a second can', '0.9 .. 1.1 L')
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(cls, /, name: str, prior: Any) -> Unknown: ...
    def __reduce__(self, /) -> tuple[Any, tuple[str, str]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def name(self, /) -> str:
        """
        What it is called.
        """

    @property
    def prior(self, /) -> str:
        """
        What is known of it beforehand.
        """

@final
class Use(Event):
    """
    Lets the engine use oil up, from now on until `Stop`.

    Parameters
    ----------
    rate_l_min : quantity
        Volume at 15 °C per time [L/min]; text such as ``"0.2 L/h"`` is taken as well.
    when : {"always", "running"}, optional
        When it acts.
    label : str, optional
        Name by which `Stop` ends it.
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Use("0.03 L/h")
    Use(rate_l_min='0.03 L/h')
    """

    def __new__(
        cls,
        /,
        rate_l_min: Given,
        *,
        when: str = "running",
        label: str | None = None,
        attitude: Attitude | str | None = None,
    ) -> Use: ...

@final
class Verdict:
    """
    What a diagnosis found: causes by probability, what speaks for them, what to check next. Made by `diagnose`.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def blocked_checks(self, /) -> list[Check]:
        """
        Checks that would tell something but may not be done now.
        """

    @property
    def causes(self, /) -> list[Cause]:
        """
        Every cause that was weighed, the most probable first.
        """

    @property
    def cautions(self, /) -> list[str]:
        """
        Cautions to print with the verdict.
        """

    @property
    def circuit(self, /) -> Circuit:
        """
        The circuit.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        One entry per cause.

        Returns
        -------
        dict of str to numpy.ndarray
            ``name``, ``probability``, ``prior``, ``ln_evidence``, ``standard_error``, ``bayes_factor_against`` (of the leading cause),
            ``prior_factor`` (by which the priors' odds must move for the cause to lead), ``fit``, ``spans``, ``over_max``.
        """

    @property
    def conclusion(self, /) -> str:
        """
        What it comes to, in a sentence.
        """

    @property
    def do_not_start(self, /) -> list[str]:
        """
        Why nothing may be started or moved; empty where nothing forbids it.

        What the record's events leave undone (a plug open, no filter fitted, a leak or an ingress going on) comes first, in the words of
        `assess`.
        """

    @property
    def evaluations(self, /) -> int:
        """
        Runs of the model that it took.
        """

    @property
    def is_settled(self, /) -> bool:
        """
        Whether the data tell.

        They do where the leading cause has at least half of the probability, three times that of the next, it fits, and every
        look-alike is a pair of which it is part.
        """

    @property
    def judgement(self, /) -> str:
        """
        What rests on judgement.
        """

    @property
    def look_alikes(self, /) -> list[str]:
        """
        Causes that these data do not tell from the leading one: a Bayes factor below 3 either way, and 5 % or more of the probability.
        """

    @property
    def next_checks(self, /) -> list[Check]:
        """
        Checks that may be done now, the most telling first.
        """

    @property
    def not_applicable(self, /) -> dict[str, str]:
        """
        Causes that cannot be for these events, with why; their weights went to the others in proportion.
        """

    def probability_of(self, /, cause: str) -> float:
        """
        Probability that a cause is at work, alone or in a pair.

        Parameters
        ----------
        cause : str
            Its name.

        Returns
        -------
        float
            0 where it was not weighed.
        """

    @property
    def record(self, /) -> Record:
        """
        The record.
        """

    def save_card(self, /, path: str | PathLike[str]) -> None:
        """
        Writes the page of `to_card` to a file.

        Parameters
        ----------
        path : path-like
            The file, which is replaced.

        Raises
        ------
        OSError
            If it cannot be written.
        """

    @property
    def seed(self, /) -> int:
        """
        Seed of the streams.
        """

    def to_card(self, /) -> str:
        """
        The verdict as one self-contained page of HTML, for screen and print, without scripts or a network.

        Returns
        -------
        str
            Inputs, ledger, waterfall, causes, checks, cautions, what is judgement, version, hash of the inputs and seed.
        """

@final
class WaitAdvice:
    """
    How long to wait before reading. Made by `wait_advice`; prints as a page.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def beyond_longest(self, /) -> float:
        """
        Share of the draws in which the longest wait is too short.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        Some waits at nominal values.

        Returns
        -------
        dict of str to numpy.ndarray
            ``seconds``, ``returning_l`` (still on its way back), ``on_stick_mm`` (by which it would raise the reading) and
            ``sump_c``.
        """

    @property
    def left_after_reference_wait_mm(self, /) -> float:
        """
        By how much the reading would still rise after the wait of the marks' own condition, which the marks allow for [mm].
        """

    @property
    def seconds(self, /) -> float | None:
        """
        The wait with every input at its nominal value [s]; None where the longest is too short.
        """

    @property
    def shows_mm(self, /) -> float:
        """
        What the stick shows [mm].
        """

    @property
    def wait_seconds(self, /) -> Draws:
        """
        The wait over all draws [s]; the longest in draws in which that is too short.
        """

@final
class WallFilm:
    """
    The film on a plane wall that was uncovered all at once. Immutable.

    H. Jeffreys, Proc. Cambridge Phil. Soc. 26 (1930) 204: at a distance z down the wall
    ``h = sqrt(z / (g sin(beta) s))`` and on the whole wall ``V = (2/3) W H**1.5 / sqrt(g sin(beta) s)``, s being the reduced
    time. Where that exceeds the thickness the film started with, the film still has the latter. Valid while the film is
    thin against the wall's length; for any oil after about a second.

    Parameters
    ----------
    length_mm : quantity
        Length of the wall along its slope [mm].
    width_mm : quantity
        Width across [mm].
    slope_deg : quantity
        Slope against the horizontal [deg], 0.1 to 90; upright where not given. Nearer to level use `FloorFilm`.
    start_um : quantity
        Thickness of the film at the beginning [um], 0.001 to 100 000; unlimited where not given.

    Raises
    ------
    QuantityError
        If a value is outside its range.

    Examples
    --------
    >>> import fillmark as fm
    >>> walls = fm.WallFilm(length_mm=300.0, width_mm=2e6 / 300.0)
    >>> hot = fm.ReducedTime().after(minutes=5, kinematic_viscosity_mm2_s=14.0)
    >>> round(walls.volume_l(hot), 4)
    0.0504
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(
        cls,
        /,
        *,
        length_mm: Quantity,
        width_mm: Quantity,
        slope_deg: Quantity | None = None,
        start_um: Quantity | None = None,
    ) -> WallFilm: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def mean_thickness_um(self, /, since: ReducedTime) -> float:
        """
        Mean thickness of the film: volume over area.

        Parameters
        ----------
        since : ReducedTime
            Since the wall was uncovered.

        Returns
        -------
        float
            Thickness [um].
        """

    @overload
    def retained_l(
        self,
        /,
        *,
        minutes: Number,
        fluid: Fluid,
        temperature_c: Quantity,
        surroundings_c: Quantity | None = None,
        time_constant_minutes: Quantity | None = None,
    ) -> float:
        """
        Volume on the wall against time, at one temperature or while the oil cools.

        `Fluid.spread` says what the grade of an oil leaves of it.

        Parameters
        ----------
        minutes : quantity or array
            Time since the wall was uncovered [min].
        fluid : Fluid
            With a viscosity; a lubricating oil where it cools.
        temperature_c : quantity
            Its temperature, or that at the beginning [°C].
        surroundings_c, time_constant_minutes : quantity
            Where it cools: the temperature it tends to [°C], and the time in which the difference falls to 37 % [min].

        Returns
        -------
        float or ndarray
            Volume of the shape of `minutes` [L].

        Raises
        ------
        FluidError
            If the fluid has no viscosity, or a temperature is outside its range.

        Examples
        --------
        >>> import fillmark as fm
        >>> walls = fm.WallFilm(length_mm=300.0, width_mm=2e6 / 300.0)
        >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
        >>> walls.retained_l(minutes=[5.0, 20.0], fluid=oil, temperature_c=90.0).round(3)
        array([0.057, 0.029])
        """

    @overload
    def retained_l(
        self,
        /,
        *,
        minutes: Numbers,
        fluid: Fluid,
        temperature_c: Quantity,
        surroundings_c: Quantity | None = None,
        time_constant_minutes: Quantity | None = None,
    ) -> NDArray[float64]: ...
    @overload
    def retained_l(
        self,
        /,
        *,
        minutes: SupportsTo,
        fluid: Fluid,
        temperature_c: Quantity,
        surroundings_c: Quantity | None = None,
        time_constant_minutes: Quantity | None = None,
    ) -> Any: ...
    @overload
    def thickness_um(self, /, at_mm: Number, since: ReducedTime) -> float:
        """
        Thickness of the film at a distance down the wall.

        Parameters
        ----------
        at_mm : quantity or array
            Distance from the wall's upper edge along its slope [mm].
        since : ReducedTime
            Since the wall was uncovered.

        Returns
        -------
        float or ndarray
            Thickness of the distance's shape [um].
        """

    @overload
    def thickness_um(self, /, at_mm: Numbers, since: ReducedTime) -> NDArray[float64]: ...
    @overload
    def thickness_um(self, /, at_mm: SupportsTo, since: ReducedTime) -> Any: ...
    def volume_l(self, /, since: ReducedTime) -> float:
        """
        Volume on the wall.

        Parameters
        ----------
        since : ReducedTime
            Since the wall was uncovered.

        Returns
        -------
        float
            Volume [L]; infinite at once unless the film started with a thickness.
        """

@final
class WeighedResidue:
    """
    Residue of drained and weighed services. Made by `weighed_residue`; prints as a summary.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    def apply(self, /, circuit: Circuit) -> Any:
        """
        A circuit whose book has this residue (``book.residue``).

        Where the book gives a dry capacity, that less the service capacity goes before it.

        Parameters
        ----------
        circuit : Circuit
            With a ``[book]``.

        Returns
        -------
        Circuit
            A changed copy.

        Raises
        ------
        CircuitError
            If the circuit has no book.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        One entry for each service.

        Returns
        -------
        dict of str to numpy.ndarray
            ``service`` (its number, from 0); ``residue_l`` with ``low_`` and ``high_``.
        """

    @property
    def next_l(self, /) -> Band:
        """
        Residue of the next such drain [L].
        """

    @property
    def residue_l(self, /) -> Band:
        """
        Mean residue of such drains [L].
        """

    def shares(self, /) -> dict[str, Any]:
        """
        Shares of the variance of the mean by input, to first order.

        Returns
        -------
        dict of str to float
            ``held``, ``density``, ``scale``, ``filter`` (shared by all services) and ``single services``; together 1.
        """

    @property
    def spread_l(self, /) -> float | None:
        """
        Standard deviation from service to service [L]; None of one service.
        """

@final
class WettedArea:
    """
    Areas of floor, walls and ceiling that liquid wets. Made by `Sump.wetted`.

    Examples
    --------
    >>> import fillmark as fm
    >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    >>> pan.wetted(level_mm=[0.0, 50.0, 100.0]).total_mm2.round(6)
    array([ 60000., 110000., 220000.])
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    @property
    def ceiling_mm2(self, /) -> FloatOrArray:
        """
        Faces that liquid stands under, no steeper than the floor slope [mm2].
        """

    @property
    def floor_mm2(self, /) -> FloatOrArray:
        """
        Faces that liquid stands on, no steeper than the floor slope [mm2].
        """

    @property
    def total_mm2(self, /) -> FloatOrArray:
        """
        All three together [mm2].
        """

    @property
    def walls_mm2(self, /) -> FloatOrArray:
        """
        Faces steeper than the floor slope, whichever way they look [mm2].
        """

@final
class Wipe(Event):
    """
    Wipes the stick: a pour or a run leaves it smeared.

    Parameters
    ----------
    label : str, optional
        Name under which its row is found again.
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.Wipe()
    Wipe()
    """

    def __new__(cls, /, *, label: str | None = None, attitude: Attitude | str | None = None) -> Wipe: ...

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
    attitude : Attitude or str, optional
        How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.

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
        attitude: Attitude | str | None = None,
    ) -> Withdraw: ...

@final
class WorthMeasuring:
    """
    What measuring would be worth. Made by `worth_measuring`; prints as a table.
    """

    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self, /) -> tuple[Any, tuple[Any, ...]]: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @staticmethod
    def _restore(
        result: str,
        standard_uncertainty: SupportsFloat | SupportsIndex,
        worth: SupportsGetItem[
            int,
            tuple[
                SupportsGetItem[int, str],
                tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
                tuple[SupportsFloat | SupportsIndex, SupportsFloat | SupportsIndex],
            ],
        ],
        known: tuple[SupportsGetItem[int, tuple[SupportsFloat | SupportsIndex, str]], SupportsGetItem[int, bool]]
        | None,
    ) -> WorthMeasuring:
        """
        Rebuilds what a pickle holds.
        """

    def columns(self, /) -> dict[str, Any]:
        """
        One row for each input or group of correlated inputs, the one first whose exact knowledge would remove most variance.

        Returns
        -------
        dict of str to numpy.ndarray
            ``input`` (names joined by ``" + "``), ``known`` and ``halved`` (shares of the variance that would go), each with
            the half-width of its coverage interval, ``known_half_width`` and ``halved_half_width``. Of a service also
            ``standard_uncertainty`` of the input now with its ``unit`` (of a group that of the first), and ``judgement``.
        """

    @property
    def result(self, /) -> str:
        """
        Name of the result.
        """

    @property
    def standard_uncertainty(self, /) -> float:
        """
        Standard deviation of the result now.
        """

def _nothing(*, level_mm: SupportsFloat | SupportsIndex, attitude: Any | None = None) -> float:
    """
    Does nothing with a number and an object: what a call itself costs, to compare timings with.

    Parameters
    ----------
    level_mm : float
        Any number.
    attitude : object
        Anything.

    Returns
    -------
    float
        The number.
    """

def assess(
    circuit: Circuit,
    events: Events,
    *,
    hot_temperature_c: Quantity | None = None,
    attitude: Attitude | None = None,
    surge_deg: Quantity | None = None,
    start: State | None = None,
    draws: SupportsIndex = 100000,
    seed: SupportsIndex = 1,
) -> Assessment:
    """
    Assesses what a service leaves behind, by Monte Carlo: level against the marks, gap to the crank, depth of the pickup.

    The level is the true one, drained back, filter full, in the marks' reference condition, in spans: 0 at MIN, 1 at MAX. Bands above MAX: up to
    0.1 span is within reading error, 0.1 to 0.5 wants correcting soon; beyond 0.5 in more than half of the draws (1 % with the gap to the
    crank unknown), or where the static hot level reaches the crank's path in more than 1 % of draws, the verdict is: do not start (common
    practice, no source; half of the draws is a judgement). What the
    circuit does not state is reported as unknown, never as in order. Whatever the level, an end with a plug open, with the filter off, or with
    a leak or an ingress going on (stop it with `Stop`) is: do not start. So is a sump that holds more than its drawing, as an ingress or a
    given start may leave it; its level goes on above the drawing's top by volume, as between the marks. A machine that states neither filter,
    pump, pickup, crank nor a store that a pump fills, such as a gearbox, is told nothing of a crank or a pickup.

    Parameters
    ----------
    circuit : Circuit
        What is served; its ``[crank]`` and ``[pickup]`` are looked at.
    events : sequence of Event
        What is done, in order.
    hot_temperature_c : quantity
        Temperature of the static hot level [°C], 20 to 150; 90 where not given.
    attitude : Attitude, optional
        How the vehicle stands then; as the marks' reference where not given.
    surge_deg : quantity
        Tilt in any of four directions that surge adds to a run's attitude [deg], 0 to 45; none where not given.
    start : State, optional
        Where every draw starts, as in `predict`.
    draws, seed : int
        As in `predict`.

    Returns
    -------
    Assessment
        Probabilities, verdict, reasons, cautions.

    Raises
    ------
    ServiceError
        If the service cannot be carried out at nominal values.
    EstimateError, QuantityError
        If an option is out of range.
    GeometryError
        If the sump has no plan form and is asked about a tilt.

    Examples
    --------
    >>> import fillmark as fm
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> over = fm.assess(bus, [fm.Pour(3.5), fm.Run(minutes=1), fm.Rest(minutes=15)], draws=500)
    >>> over.verdict
    'do not start'
    """

def blend_viscosity_mm2_s(rule: str, *, fractions: Quantities, kinematic_viscosity_mm2_s: Quantities) -> float:
    """
    Kinematic viscosity of a blend, such as fuel in oil, all parts and the result at one temperature.

    ASTM D7152 averages ``ln ln Z`` (Z as in ASTM D341) by volume, Refutas' rule the blending number
    ``14.534 ln ln (nu + 0.8) + 10.975`` by mass (both from memory). They agree within some 10 % for fuel in oil; good to
    about 5 % for base oils of one kind and 15 % for a light fuel in a finished oil (judgement).

    Parameters
    ----------
    rule : {"ASTM D7152", "Refutas"}
        How the parts are averaged.
    fractions : array
        Share of each part, by volume (ASTM D7152) or by mass (Refutas) [1]; they add up to 1.
    kinematic_viscosity_mm2_s : array
        Kinematic viscosity of each part [mm2/s], 0.21 to 2e7.

    Returns
    -------
    float
        Kinematic viscosity of the blend [mm2/s].

    Raises
    ------
    FluidError
        If the fractions do not add up to 1 or a viscosity is outside the range.
    ValueError
        If the two have different lengths.

    Examples
    --------
    >>> import fillmark as fm
    >>> round(fm.blend_viscosity_mm2_s("ASTM D7152", fractions=[0.95, 0.05], kinematic_viscosity_mm2_s=[14.3, 1.2]), 1)
    11.7
    """

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

def calibrate(
    added_l: Quantities,
    reading_mm: Quantities,
    *,
    min_mm: Given | None = None,
    max_mm: Given | None = None,
    start_l: Given | None = None,
    jug_scale: Given | None = None,
    pour_scatter_l: Quantity | None = None,
    scatter_mm: Given | None = None,
    coverage: SupportsFloat | SupportsIndex = 0.95,
    draws: SupportsIndex = 4000,
    seed: SupportsIndex = 1,
) -> Calibration:
    """
    Learns a stick from step pours: volume along the blade, volume of the span, zero.

    ``added_l[i]`` was poured just before ``reading_mm[i]`` was taken; 0 for a reading taken again without a pour. What stood in the
    sump before the first reading counts as the start, whatever ``added_l[0]`` says.

    The reading is ``g(V) + e``: ``V`` the volume poured by then, ``e`` the scatter of the reading, ``g`` a rising curve. It is a straight line with a flat
    prior and, one third each (judgement), nothing else (straight sides), a parabola (sides that lean evenly: the slope changes by 0.5 of its mean, one
    standard deviation, a judgement), or an integrated Brownian motion (the Bayesian cubic smoothing spline: Wahba, J. R. Statist. Soc. B 40 (1978) 364; its bands:
    Nychka, J. Am. Statist. Assoc. 83 (1988) 1134). Kind of sides, how much the slope wanders (half-normal prior: its mean over all pours, a judgement) and the
    scatter are summed over, weighted by their marginal likelihood. The error of the jug's scale is shared by all
    pours, that of a single pour (`pour_scatter_l`, to first order) and that of a reading are independent. mL per mm is the scale over ``g'``. Bands
    are quantiles of the draws.

    Parameters
    ----------
    added_l : array_like
        Poured before each reading, by the jug's scale [L], 0 or more. At least three different volumes, at most 500 readings.
    reading_mm : array_like
        Readings, from the tip along the blade [mm], 0 or more.
    min_mm, max_mm : quantity, optional
        The marks [mm]: for the volume of the span, and so that no pour above MAX is proposed. At most a quarter of the readings' range
        outside it.
    start_l : quantity, optional
        In the sump before the first pour [L]; without it volumes count from there, and the zero of the stick stays open.
    jug_scale : quantity
        True volume over stated volume of the jug, such as ``"1.00(2)"``.
    pour_scatter_l : quantity
        Standard uncertainty of each single pour besides that [L].
    scatter_mm : quantity, optional
        Standard deviation of one reading [mm]; uncertain where it is not well known. Where not given, lognormal with median 1 mm
        and 0.4 as standard deviation of its logarithm (judgement).
    coverage : float
        Coverage probability of the bands, 0.5 to 0.999.
    draws, seed : int
        Draws, 100 to 100 000, and their seed.

    Returns
    -------
    Calibration
        The stick as the pours showed it.

    Raises
    ------
    QuantityError
        If a number is not finite or out of range.
    LearnError
        If there are too few different volumes, the readings do not rise with what was poured, or a mark lies where the pours say nothing.

    Examples
    --------
    >>> import fillmark as fm
    >>> fit = fm.calibrate(
    ...     added_l=[0.0, 0.4, 0.4, 0.4, 0.4, 0.4], reading_mm=[22.0, 31.5, 40.0, 49.5, 58.0, 67.5],
    ...     min_mm=25.0, max_mm=60.0, jug_scale="1.00(2)",
    ... )
    >>> fit.span_l.low < 1.55 < fit.span_l.high
    True
    >>> sorted(fit.columns())[:3]
    ['high_ml_per_mm', 'high_volume_l', 'low_ml_per_mm']
    """

@overload
def capacity_ratio(metal: str, *, temperature_c: Number, reference_c: Quantity | None = None) -> float:
    """
    How much more a sump of a metal holds when it is warm: capacity over capacity at a reference temperature.

    ``1 + beta (t - t_reference)`` with beta = 3.35e-5, 5.18e-5, 4.77e-5 (mild steel, stainless 304 and 316: API MPMS
    12.2, from memory) or 6.6e-5 per kelvin (cast aluminium: three times 22e-6; NADCA, table A-3-2, alloy 380).

    Parameters
    ----------
    metal : {"mild steel", "stainless 304", "stainless 316", "cast aluminium"}
        What the sump is made of.
    temperature_c : quantity or array
        Its temperature [°C], -60 to 200.
    reference_c : quantity
        Temperature at which its capacity is known [°C]; 20 where not given.

    Returns
    -------
    float or ndarray
        Ratio of the temperature's shape [1].

    Raises
    ------
    FluidError
        If a temperature is outside the range.

    Examples
    --------
    >>> import fillmark as fm
    >>> round(fm.capacity_ratio("cast aluminium", temperature_c=90.0), 5)
    1.00462
    """

@overload
def capacity_ratio(metal: str, *, temperature_c: Numbers, reference_c: Quantity | None = None) -> NDArray[float64]: ...
@overload
def capacity_ratio(metal: str, *, temperature_c: SupportsTo, reference_c: Quantity | None = None) -> Any: ...
def capillary_length_mm(*, density_kg_m3: Quantity, surface_tension_n_m: Quantity | None = None) -> float:
    """
    Capillary length of a liquid: ``sqrt(sigma / (rho g))``, 1.9 mm for oil.

    Parameters
    ----------
    density_kg_m3 : quantity
        Density [kg/m3].
    surface_tension_n_m : quantity
        Surface tension [N/m]; 0.030 where not given (engine oil, from memory).

    Returns
    -------
    float
        Length [mm].

    Raises
    ------
    QuantityError
        If a value is not above 0.

    Examples
    --------
    >>> import fillmark as fm
    >>> round(fm.capillary_length_mm(density_kg_m3=870.0), 3)
    1.875
    """

def cause_priors(complaint: str) -> dict[str, Any]:
    """
    Weights of the causes of a complaint before anything was read; judgement, for teaching.

    Parameters
    ----------
    complaint : str
        ``reads_over``, ``reads_under``, ``rises``, ``falls`` or ``differs``.

    Returns
    -------
    dict of str to float
        They sum to 100. No shares of causes are published: all of it is judgement, and may be replaced.

    Raises
    ------
    ExplainError
        If there is no such complaint.

    Examples
    --------
    >>> import fillmark as fm
    >>> sum(fm.cause_priors("reads_over").values())
    100.0
    """

def classify_iso_vg(*, kv40_mm2_s: Quantity) -> tuple[Any, ...]:
    """
    The ISO 3448 class whose window holds a kinematic viscosity at 40 °C.

    Parameters
    ----------
    kv40_mm2_s : quantity
        Kinematic viscosity at 40 °C [mm2/s].

    Returns
    -------
    tuple of str
        One class, or none between classes.

    Raises
    ------
    FluidError
        If the viscosity is not above 0.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.classify_iso_vg(kv40_mm2_s=44.0)
    ('ISO VG 46',)
    """

def classify_kv100(*, kv100_mm2_s: Quantity, standard: str = "SAE J300") -> tuple[Any, ...]:
    """
    The SAE grades without a W whose window holds a kinematic viscosity at 100 °C.

    The windows of J300 grades 8, 12, 16 and 20 overlap, so there may be several; section 6 of J300 says how to choose.

    Parameters
    ----------
    kv100_mm2_s : quantity
        Kinematic viscosity at 100 °C [mm2/s].
    standard : {"SAE J300", "SAE J306"}
        Engine oils or gear lubricants.

    Returns
    -------
    tuple of str
        Thinnest first; empty where no window holds it.

    Raises
    ------
    FluidError
        If the viscosity is not above 0.

    Examples
    --------
    >>> import fillmark as fm
    >>> fm.classify_kv100(kv100_mm2_s=12.5)
    ('40',)
    >>> fm.classify_kv100(kv100_mm2_s=7.0)
    ('12', '16', '20')
    """

def conformity_probability(grade: str, *, measured_mm2_s: Quantity, standard_uncertainty_mm2_s: Quantity) -> float:
    """
    Probability that an oil conforms to a grade, from one measurement with its uncertainty.

    ``Phi((T_U - y)/u) - Phi((T_L - y)/u)`` for a normal distribution without prior knowledge (JCGM 106:2012, clause 7).

    Parameters
    ----------
    grade : str
        Such as ``"40"``, ``"10W-40"`` (both parts must hold) or ``"ISO VG 46"``.
    measured_mm2_s : quantity
        Measured kinematic viscosity [mm2/s], at 100 °C for SAE grades and 40 °C for ISO classes.
    standard_uncertainty_mm2_s : quantity
        Its standard uncertainty [mm2/s], above 0.

    Returns
    -------
    float
        Probability that the true viscosity is within the grade's window [1].

    Raises
    ------
    FluidError
        If the grade is unknown; near ones are listed.
    QuantityError
        If a number is not above 0.

    Examples
    --------
    >>> import fillmark as fm
    >>> round(fm.conformity_probability("SAE 40", measured_mm2_s=13.6, standard_uncertainty_mm2_s=1.8), 4)
    0.6626
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
    ['shuttle-bus', 'deck-generator', 'harbour-launch', 'winch-gearbox']
    """

def diagnose(
    circuit: Circuit,
    record: Record,
    *,
    priors: dict[str, SupportsFloat | SupportsIndex] | None = None,
    hypotheses: SupportsGetItem[int, Hypothesis] | None = None,
    pairs: bool = True,
    particles: SupportsIndex = 128,
    replicates: SupportsIndex = 8,
    seed: SupportsIndex = 1,
    progress: Progress | None = None,
) -> Verdict:
    """
    Finds the causes of a record by their probabilities.

    Every cause is an edit of the events as told, with a prior on its size, compiled into one program; its evidence comes from
    tempered sequential Monte Carlo, its error from independent replicates. Ordinary scatter and none of these always compete. The
    same seed gives the same bits for any number of threads.

    Parameters
    ----------
    circuit : Circuit
        What the record is about.
    record : Record
        What is known.
    priors : dict, optional
        Weights of causes in place of those of `cause_priors`, which sum to 100.
    hypotheses : sequence of Hypothesis, optional
        Causes of one's own, besides those of the complaint.
    pairs : bool
        Whether plausible pairs of causes compete as well.
    particles : int
        Particles of a replicate, 16 to 1 million.
    replicates : int
        Independent replicates, 2 to 10 000. A cause whose probability is below 0.0002 after two of them, or below 0.01 after four, gets no more: its
        numerical error can move nothing then.
    seed : int
        Seed of every stream, 0 to 2**64 - 1.
    progress : callable, optional
        Is called with the number of replicates done, of all causes, and how many there are; `ProgressLine` shows them.

    Returns
    -------
    Verdict
        Causes, what speaks for them, what to check next. It assigns causes, never fault.

    Raises
    ------
    ExplainError
        If the record contradicts itself, its circuit or its complaint; if the events as told cannot be; if a weight, a hypothesis or an
        option is none.
    EstimateError
        If an attitude is stated with an uncertainty.

    Examples
    --------
    >>> import fillmark as fm
    >>> service = [fm.Drain(minutes=10), fm.ChangeFilter(), fm.Pour(7.4), fm.Run(minutes=1), fm.Rest(minutes=20)]
    >>> record = fm.Record(service, [119.0], complaint="reads_over", drained_l="6.2(1) L")
    >>> verdict = fm.diagnose(fm.Circuit.demo("shuttle-bus"), record)
    >>> verdict.causes[0].name
    'poor drain'
    """

def diagnose_many(
    circuit: Circuit,
    records: Any,
    *,
    priors: dict[str, SupportsFloat | SupportsIndex] | None = None,
    hypotheses: SupportsGetItem[int, Hypothesis] | None = None,
    pairs: bool = True,
    particles: SupportsIndex = 128,
    replicates: SupportsIndex = 8,
    seed: SupportsIndex = 1,
    progress: Progress | None = None,
) -> list[Verdict]:
    """
    Finds the causes of many records, as `diagnose` does of one.

    Parameters
    ----------
    circuit : Circuit
        What the records are about.
    records : sequence of Record, or dict of str to sequence
        Records, or the columns of a table as `Record.from_table` takes them.
    priors : dict of str to float, optional
        As in `diagnose`.
    hypotheses : sequence of Hypothesis, optional
        As in `diagnose`.
    pairs : bool, default True
        As in `diagnose`.
    particles, replicates : int
        As in `diagnose`.
    seed : int
        As in `diagnose`; every record gets the same.
    progress : callable, optional
        Is called with the number of records done and their number; `ProgressLine` shows them.

    Returns
    -------
    list of Verdict
        One for each record.

    Raises
    ------
    ExplainError
        As `diagnose`.

    Examples
    --------
    >>> import fillmark as fm
    >>> table = {
    ...     "record": ["A", "A", "B", "B"],
    ...     "complaint": ["reads_over"] * 4,
    ...     "event": ["drain 10 min", "pour 7.4 L", "drain 10 min", "pour 7.4 L"],
    ...     "reading_mm": [None, 122.0, None, 113.0],
    ... }
    >>> len(fm.diagnose_many(fm.Circuit.demo("shuttle-bus"), table, particles=32, replicates=2))
    2
    """

def dip_study(
    trainee: Any,
    reading_mm: Quantities,
    *,
    level: Any | None = None,
    coverage: SupportsFloat | SupportsIndex = 0.95,
    draws: SupportsIndex = 4000,
    seed: SupportsIndex = 1,
) -> DipStudy:
    """
    Finds how well trainees read one stick, by themselves and among each other (ISO 5725-2).

    Trainees stand for laboratories, levels for materials. At each level, with ``n_i`` readings of trainee ``i``, mean ``m_i`` and standard
    deviation ``s_i``, and ``p`` trainees (ISO 5725-2:1994, 7.4): ``s_r² = Σ(n_i-1)s_i²/Σ(n_i-1)``, ``s_d² = Σ n_i(m_i-m)²/(p-1)``,
    ``n = (Σn_i - Σn_i²/Σn_i)/(p-1)``, ``s_L² = max(0, (s_d²-s_r²)/n)``, ``s_R² = s_r² + s_L²``. Over levels the variances are pooled by their degrees of
    freedom, which holds where precision does not depend on the level. Bands are generalised confidence intervals (Weerahandi, J. Am. Statist.
    Assoc. 88 (1993) 899). Cochran's and Grubbs' tests name stragglers (5 %) and outliers (1 %); nothing is removed.

    Parameters
    ----------
    trainee : sequence
        Who took each reading.
    reading_mm : array_like
        The readings [mm]; at most 2000. At each level at least two trainees, one of them with two readings.
    level : sequence, optional
        Which level each reading is of; all the same where not given.
    coverage : float
        Coverage probability of the bands, 0.5 to 0.999.
    draws, seed : int
        Draws for the bands, 100 to 100 000, and their seed.

    Returns
    -------
    DipStudy
        Repeatability and reproducibility.

    Raises
    ------
    QuantityError
        If a number is not finite or out of range.
    LearnError
        If columns differ in length, or trainees or repetitions are too few.

    Examples
    --------
    >>> import fillmark as fm
    >>> study = fm.dip_study(["Ada", "Ada", "Bo", "Bo", "Cy", "Cy"], [41.0, 42.0, 43.5, 44.0, 40.5, 41.5])
    >>> round(study.repeatability_mm, 2), round(study.reproducibility_mm, 2)
    (0.61, 1.53)
    """

def drain_curve(
    sump: Sump,
    plug: Plug,
    fluid: Fluid,
    *,
    volume_l: Quantity,
    temperature_c: Quantity,
    model: str,
    entry_loss: SupportsFloat | SupportsIndex | None = None,
    cd: SupportsFloat | SupportsIndex | None = None,
    vent: str = "open",
    vent_area_mm2: Quantity | None = None,
    near_empty: str = "weir",
    to_head_mm: Quantity | None = None,
    steps: SupportsIndex = 200,
    attitude: Attitude | None = None,
) -> DrainCurve:
    """
    How a sump empties through its plug: the integral of free surface over flow on the sump's own level curve.

    In the beginning all liquid stands at one common level. Then only the part falls that is joined to the plug's rim: where
    the level comes to the sill of a basin, what is behind it stays. The end is where the stream breaks into drops (0.3 mL/s,
    judgement), or a stated head, to which the drops are followed. A bore in a wall drains below its centre, the wetted part of
    it flowing as the model has it at the depth of that part (judgement).

    Parameters
    ----------
    sump : Sump
        What empties.
    plug : Plug
        The hole; at most 50 mm outside the box that bounds the sump.
    fluid : Fluid
        With a viscosity.
    volume_l : quantity
        In the sump when the plug is opened, at its temperature [L].
    temperature_c : quantity
        Temperature of the fluid [°C].
    model : {"energy balance", "constant Cd", "short tube"}
        The loss model, as for `drain_flow`.
    entry_loss, cd : float
        As for `drain_flow` [1].
    vent : {"open", "shut", "restricted"}
        As for `drain_flow`. Shut, the hole passes oil and air in turn, at most ``(pi/12) sqrt(g d) d**2`` (C. Clanet and
        G. Searby, J. Fluid Mech. 510 (2004) 145, from memory).
    vent_area_mm2 : quantity
        Free area of a restricted vent [mm2].
    near_empty : {"weir", "ignore"}
        Whether the rim limits the flow and the stream ends in drops. Ignored, the loss model holds down to nothing.
    to_head_mm : quantity
        Head over the outlet at which to end [mm]; the end of the stream where not given.
    steps : int
        Intervals, 1 to 5000, closer together near the end.
    attitude : Attitude
        How the body stands; level where not given.

    Returns
    -------
    DrainCurve

    Raises
    ------
    FluidError
        If the fluid has no viscosity, the temperature is outside its range, or the stated end is never reached.
    GeometryError
        If the volume is outside the capacity, the plug is more than 50 mm outside the liquid space, or the sump has no plan
        form and is not level.
    CircuitError
        If the plug is not at the sump.
    QuantityError
        If a number is outside its range.
    TypeError
        If a number is given that does not belong to the model or the vent.

    Examples
    --------
    >>> import fillmark as fm
    >>> pan = fm.Sump.box(length_mm=250.0, width_mm=200.0, height_mm=100.0)
    >>> plug = fm.Plug(at_mm=(0.0, 0.0, 0.0), bore_mm=12.0, boss_mm=10.0)
    >>> oil = fm.Fluid.oil(grade="10W-40")
    >>> curve = fm.drain_curve(pan, plug, oil, volume_l=4.0, temperature_c=90.0, model="energy balance")
    >>> round(curve.seconds), round(curve.left_l, 2)
    (113, 0.02)
    >>> c = curve.columns()
    >>> bool(c["seconds_grade_low"][-1] < curve.seconds < c["seconds_grade_high"][-1])
    True
    """

def drain_flow(
    plug: Plug,
    fluid: Fluid,
    *,
    head_mm: Quantity,
    temperature_c: Quantity,
    model: str,
    entry_loss: SupportsFloat | SupportsIndex | None = None,
    cd: SupportsFloat | SupportsIndex | None = None,
    vent: str = "open",
    vent_area_mm2: Quantity | None = None,
    near_empty: str = "weir",
    attitude: Attitude | None = None,
) -> DrainFlow:
    """
    Flow out of a plug at one head.

    One loss model at a time, chosen by name; H is the driving head: for a bore that points down (within 45°) the depth over
    the rim and the bore's own length L, else the depth over the bore's centre.

    ``"energy balance"``: ``g H = (1 + entry_loss) v**2 / 2 + 32 nu L v / d**2``, laminar friction in the bore.

    ``"constant Cd"``: ``Q = cd a sqrt(2 g H)`` (Torricelli); for thin oil in a thin plate.

    ``"short tube"``: A. Lichtarowicz, R. K. Duggins and E. Markland, J. Mech. Eng. Sci. 7 (1965) 210, with the Reynolds number
    of the ideal velocity; for 2 <= L/d <= 10 and 10 <= Re <= 20 000.

    Outside its ground a model still answers, with a flag and a wider uncertainty. Below about one bore of depth over a bore
    that points down, the rim limits the flow as a weir (judgement).

    Parameters
    ----------
    plug : Plug
        The hole.
    fluid : Fluid
        With a viscosity.
    head_mm : quantity
        Depth over the rim, or over the centre of a bore that points sideways [mm].
    temperature_c : quantity
        Temperature of the fluid [°C].
    model : {"energy balance", "constant Cd", "short tube"}
        The loss model.
    entry_loss : float
        Of the energy balance [1], 0 to 100: 1.0 where not given, a plug boss with a burr or thread (judgement); 0.5 is a clean
        sharp entry.
    cd : float
        Of the constant coefficient [1], 0.01 to 1; 0.62 where not given, a sharp-edged hole in a thin plate (Encyclopaedia
        Britannica, 11th ed., "Hydraulics").
    vent : {"open", "shut", "restricted"}
        How air gets into the sump: freely, by the hole itself (filler cap on), or through a small opening.
    vent_area_mm2 : quantity
        Free area of that opening [mm2].
    near_empty : {"weir", "ignore"}
        Whether the rim limits the flow.
    attitude : Attitude
        How the body stands; level where not given.

    Returns
    -------
    DrainFlow

    Raises
    ------
    FluidError
        If the fluid has no viscosity, or the temperature is outside its range.
    QuantityError
        If a number is outside its range.
    TypeError
        If a number is given that does not belong to the model or the vent.

    Examples
    --------
    >>> import fillmark as fm
    >>> plug = fm.Plug(at_mm=(0.0, 0.0, 0.0), bore_mm=12.0, boss_mm=24.0)
    >>> oil = fm.Fluid.oil(grade="10W-40")
    >>> hot = fm.drain_flow(plug, oil, head_mm=80.0, temperature_c=90.0, model="short tube")
    >>> round(hot.l_min, 1), hot.regime, hot.flags
    (7.2, 'gush', ())
    """

def emptying_seconds(
    sump: Sump,
    plug: Plug,
    fluid: Fluid,
    *,
    volume_l: Quantity,
    temperature_c: Quantity,
    model: str,
    entry_loss: SupportsFloat | SupportsIndex | None = None,
    cd: SupportsFloat | SupportsIndex | None = None,
    vent: str = "open",
    vent_area_mm2: Quantity | None = None,
    near_empty: str = "weir",
    attitude: Attitude | None = None,
) -> float:
    """
    Time in which a sump empties through its plug, until only drops fall [s].

    As `drain_curve`, without the rows; `emptying_time` says besides how well it is known.

    Parameters
    ----------
    sump : Sump
        What empties.
    plug : Plug
        The hole.
    fluid : Fluid
        With a viscosity.
    volume_l : quantity
        In the sump when the plug is opened, at its temperature [L].
    temperature_c : quantity
        Temperature of the fluid [°C].
    model : {"energy balance", "constant Cd", "short tube"}
        The loss model, as for `drain_flow`.
    entry_loss, cd : float
        As for `drain_flow` [1].
    vent : {"open", "shut", "restricted"}
        As for `drain_flow`.
    vent_area_mm2 : quantity
        Free area of a restricted vent [mm2].
    near_empty : {"weir", "ignore"}
        Whether the rim limits the flow and the stream ends in drops. Ignored, the loss model holds down to nothing.
    attitude : Attitude
        How the body stands; level where not given.

    Returns
    -------
    float
        Time [s].

    Raises
    ------
    FluidError, GeometryError, CircuitError, QuantityError, TypeError
        As `drain_curve`.

    Examples
    --------
    >>> import fillmark as fm
    >>> pan = fm.Sump.box(length_mm=250.0, width_mm=200.0, height_mm=100.0)
    >>> plug = fm.Plug(at_mm=(0.0, 0.0, 0.0), bore_mm=12.0, boss_mm=10.0)
    >>> oil = fm.Fluid.oil(grade="10W-40")
    >>> cold, hot = (
    ...     fm.emptying_seconds(pan, plug, oil, volume_l=4.0, temperature_c=t, model="energy balance")
    ...     for t in (0.0, 90.0))
    >>> cold > 2.0 * hot
    True
    """

def emptying_time(
    sump: Sump,
    plug: Plug,
    fluid: Fluid,
    *,
    volume_l: Quantity,
    temperature_c: Quantity,
    model: str,
    entry_loss: SupportsFloat | SupportsIndex | None = None,
    cd: SupportsFloat | SupportsIndex | None = None,
    vent: str = "open",
    vent_area_mm2: Quantity | None = None,
    near_empty: str = "weir",
    attitude: Attitude | None = None,
) -> EmptyingTime:
    """
    How long a sump takes to empty through its plug until only drops fall, and how well that is known.

    As `drain_curve`, without the rows.

    Parameters
    ----------
    sump : Sump
        What empties.
    plug : Plug
        The hole.
    fluid : Fluid
        With a viscosity.
    volume_l : quantity
        In the sump when the plug is opened, at its temperature [L].
    temperature_c : quantity
        Temperature of the fluid [°C].
    model : {"energy balance", "constant Cd", "short tube"}
        The loss model, as for `drain_flow`.
    entry_loss, cd : float
        As for `drain_flow` [1].
    vent : {"open", "shut", "restricted"}
        As for `drain_flow`.
    vent_area_mm2 : quantity
        Free area of a restricted vent [mm2].
    near_empty : {"weir", "ignore"}
        Whether the rim limits the flow and the stream ends in drops. Ignored, the loss model holds down to nothing.
    attitude : Attitude
        How the body stands; level where not given.

    Returns
    -------
    EmptyingTime
        With the interval between the three models, and what the grade of the oil leaves.

    Raises
    ------
    FluidError, GeometryError, CircuitError, QuantityError, TypeError
        As `drain_curve`.

    Examples
    --------
    >>> import fillmark as fm
    >>> pan = fm.Sump.box(length_mm=250.0, width_mm=200.0, height_mm=100.0)
    >>> plug = fm.Plug(at_mm=(0.0, 0.0, 0.0), bore_mm=12.0, boss_mm=10.0)
    >>> oil = fm.Fluid.oil(grade="10W-40")
    >>> cold = fm.emptying_time(pan, plug, oil, volume_l=4.0, temperature_c=0.0, model="energy balance")
    >>> low, high = cold.between_models_seconds
    >>> low < cold.seconds <= high
    True
    >>> cold.of_grade["standard_uncertainty"] > 5.0
    True
    """

def grades() -> dict[str, Any]:
    """
    Every single grade of three viscosity classifications, as columns.

    SAE J300 (edition 202405, 14 grades, engine oils), SAE J306 (edition 201902, 14 grades, gear lubricants), ISO 3448 (1992,
    20 classes, industrial lubricants): limits as in public reproductions of the standards. A multigrade such as
    10W-40 meets both of its grades.

    Returns
    -------
    dict of str to numpy.ndarray
        ``standard``, ``edition``, ``grade``; ``temperature_c`` of the kinematic viscosity; ``low_mm2_s`` (may be reached),
        ``high_mm2_s`` (infinite where open) and ``high_may_be_reached`` (ISO yes, SAE no); ``hths_mpa_s``, the lowest
        viscosity at 150 °C and high shear (for grade 40 that of the single grade, 15W, 20W and 25W; 0W-, 5W- and 10W-40
        need 3.5); ``cold_mpa_s`` at ``cold_c``, the highest cold viscosity (J300 cranking, J306 Brookfield);
        ``pumping_mpa_s`` at ``pumping_c``. NaN where a standard sets no limit.

    Examples
    --------
    >>> import fillmark as fm
    >>> table = fm.grades()
    >>> forty = table["grade"] == "40"
    >>> table["low_mm2_s"][forty], table["high_mm2_s"][forty]
    (array([12.5]), array([16.3]))
    """

def inspect_mesh(*, vertices_mm: ArrayLike, faces: ArrayLike) -> Inspection:
    """
    Looks at a triangle mesh for everything that keeps it from being a sump, with places and what to do.

    Parameters
    ----------
    vertices_mm : array of float, shape (n, 3)
        Corners in the body frame [mm].
    faces : array of int, shape (m, 3)
        Corner numbers of each triangle, counter-clockwise seen from outside.

    Returns
    -------
    Inspection
        Open and non-manifold edges, inverted or zero-area faces, several shells, bodies that touch or cross, a
        suspicious unit.

    Raises
    ------
    ValueError
        If an array has another shape.

    Examples
    --------
    >>> import fillmark as fm
    >>> corners = [(0, 0, 0), (10, 0, 0), (0, 10, 0), (0, 0, 10)]
    >>> report = fm.inspect_mesh(vertices_mm=corners, faces=[(0, 2, 1), (0, 1, 3), (0, 3, 2), (1, 2, 3)])
    >>> report.usable, report.findings[0].flaw
    (True, 'suspicious_unit')
    >>> print(report.findings[0].advice)  # doctest: +NORMALIZE_WHITESPACE
    check the unit, an STL carries none: the longest side is 0.0100 m; inches read as mm, it would be 0.2540 m;
    centimetres read as mm, it would be 0.1000 m
    """

def inspect_stl(path: str | PathLike[str], *, unit: str = "mm") -> Inspection:
    """
    Looks at an STL file, text or binary, for everything that keeps it from being a sump.

    Parameters
    ----------
    path : path-like
        The file.
    unit : {"mm", "cm", "m", "in"}
        Unit of its coordinates, which the format does not say.

    Returns
    -------
    Inspection
        As of `inspect_mesh`.

    Raises
    ------
    FileError
        If the file cannot be read.
    GeometryError
        If it is no STL file, with the byte or line.
    """

def inspect_stl_bytes(data: SupportsGetItem[int, SupportsIndex], *, unit: str = "mm") -> Inspection:
    """
    Looks at the bytes of an STL file, text or binary, for everything that keeps it from being a sump.

    Parameters
    ----------
    data : bytes
        What the file holds.
    unit : {"mm", "cm", "m", "in"}
        Unit of its coordinates, which the format does not say.

    Returns
    -------
    Inspection
        As of `inspect_mesh`.

    Raises
    ------
    GeometryError
        If it is no STL file, with the byte or line.
    """

def old_oil(circuit: Circuit, events: Events, *, changes: SupportsIndex = 10) -> OldOil:
    """
    How much old oil is left after several equal services.

    The same service is carried out again and again, each time from the state in which the last one ended. It must end with all plugs
    closed and the filter fitted.

    Parameters
    ----------
    circuit : Circuit
        What is served.
    events : sequence of Event
        One service, from drain to run.
    changes : int
        How often, 1 to 1000.

    Returns
    -------
    OldOil
        Shares of old oil after every change.

    Raises
    ------
    ServiceError
        If the service cannot be carried out.
    QuantityError
        If `changes` is out of range.

    Examples
    --------
    >>> import fillmark as fm
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> change = [fm.Drain(minutes=10, temperature_c=60), fm.ChangeFilter(), fm.Pour(7.2), fm.Run(minutes=10), fm.Rest(minutes=15)]
    >>> left = fm.old_oil(bus, change, changes=4)
    >>> left.changes_below(0.01)
    2
    """

def plan_refill(
    circuit: Circuit,
    *,
    done: Events,
    then: Events,
    risk_over_max: SupportsFloat | SupportsIndex = 0.05,
    jug_step_l: Quantity | None = None,
    reading_step_mm: Quantity | None = None,
    measured_with: str | None = None,
    temperature_c: Given | None = None,
    other_unit: str | None = None,
    start: State | None = None,
    draws: SupportsIndex = 100000,
    seed: SupportsIndex = 1,
    progress: Progress | None = None,
) -> Plan:
    """
    Plans a refill as a policy: a first pour, and what to add or take out on the reading that follows.

    Over MAX means: true, noise-free level, drained back, filter full, in the reference condition of the marks. The first
    pour is the largest whole number of jug steps that keeps the risk with nothing corrected afterwards (in every draw a larger
    pour ends higher, so bisection over the same draws finds it exactly). The table conditions on the last reading, noise and
    all: of all tables in whole jug steps that do not rise with the reading, and at no reading make it likelier than not to
    end over MAX, it is the one with the highest mean final level for its share over MAX (Everett's Lagrange multiplier, found
    by dynamic programming). Every second draw shapes it; the others prove that its share over MAX stays two standard errors
    below the risk.

    Parameters
    ----------
    circuit : Circuit
        What is served.
    done : sequence of Event
        What was done so far, such as `Drain` and `ChangeFilter`.
    then : sequence of Event
        What will be done after pouring, such as `Run`, `Rest` and readings. The last reading is the one corrected by; where
        there is none, one is taken at the end.
    risk_over_max : float
        Accepted probability of ending over MAX, 0.0001 to 0.5, when the first pour is all that is done and when the table is
        followed. Below 0.01 it is refused while judgement inputs carry over half the variance of the final level.
    jug_step_l : quantity
        Smallest amount the jug measures out [L]; 0.1 L where not stated.
    reading_step_mm : quantity
        What the stick is read to [mm], 0.1 to 10; 0.5 mm where not stated.
    measured_with : str, optional
        Instrument the oil is measured with; ``jug`` where the circuit has one of that name.
    temperature_c : quantity, optional
        Temperature of the oil poured [°C]; the reference temperature where not stated.
    other_unit : str, optional
        Unit of volume to print beside litres, such as ``"US qt"``.
    start : State, optional
        Where `done` starts, as in `predict`.
    draws, seed : int
        As in `predict`; at least ten draws over the risk, 200 for 0.05.
    progress : callable, optional
        Is called with the number of draws done and how many there will be, as far as is known: a plan goes through all its draws
        five times or so. `ProgressLine` shows them.

    Returns
    -------
    Plan
        First pour, residue, the readings to expect, the table, cautions.

    Raises
    ------
    EstimateError
        If `done` or `then` pours, an option is out of range, the draws are fewer than ten over the risk, or a risk
        below 0.01 rests on judgement.
    ServiceError
        If the service cannot be carried out.
    QuantityError
        If `other_unit` is no unit of volume.

    Examples
    --------
    >>> import fillmark as fm
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> done, then = [fm.Drain(minutes=10), fm.ChangeFilter()], [fm.Run(minutes=1), fm.Rest(minutes=5)]
    >>> plan = fm.plan_refill(bus, done=done, then=then, draws=2000)
    >>> plan.probability_over_max <= 0.05 and plan.end_over_max <= 0.05
    True
    >>> plan.after_reading(mm=103.0).change_l > 0.0 > plan.after_reading(mm=120.0).change_l
    True
    """

def plan_withdraw(
    circuit: Circuit,
    *,
    done: Events,
    then: Events,
    risk_over_max: SupportsFloat | SupportsIndex = 0.05,
    jug_step_l: Quantity | None = None,
    reading_step_mm: Quantity | None = None,
    measured_with: str | None = None,
    temperature_c: Given | None = None,
    other_unit: str | None = None,
    start: State | None = None,
    draws: SupportsIndex = 100000,
    seed: SupportsIndex = 1,
    progress: Progress | None = None,
) -> Plan:
    """
    Plans how to bring a level that may be over MAX back: what to take out, or to add, on a reading of the stick.

    Nothing is poured or taken out before the reading; the table of the plan is found as in `plan_refill`.

    Parameters
    ----------
    circuit : Circuit
        What is served.
    done : sequence of Event
        All that was done, pours included.
    then : sequence of Event
        What is waited for before the stick is read, such as `Rest` and `Read`; no `Run`: an engine that may be overfull is
        not started to find out.
    risk_over_max, jug_step_l, reading_step_mm, measured_with, temperature_c, other_unit, start, draws, seed, progress : as in `plan_refill`
        All as there; the instrument measures what is added and what is taken out.

    Returns
    -------
    Plan
        With a first pour of nothing.

    Raises
    ------
    EstimateError
        If `then` pours or runs, an option is out of range, the draws are fewer than ten over the risk, or a risk
        below 0.01 rests on judgement.
    ServiceError
        If the service cannot be carried out.
    QuantityError
        If `other_unit` is no unit of volume.

    Examples
    --------
    >>> import fillmark as fm
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> done = [fm.Drain(minutes=10), fm.Pour("7.4(2) L"), fm.Run(minutes=1)]  # the filter was kept
    >>> plan = fm.plan_withdraw(bus, done=done, then=[fm.Rest(minutes=15)], draws=2000)
    >>> plan.probability_over_max > 0.9 and plan.end_over_max <= 0.05
    True
    """

def predict(
    circuit: Circuit,
    events: Events,
    *,
    start: State | None = None,
    draws: SupportsIndex | None = None,
    seed: SupportsIndex = 1,
    correlations: Correlations | None = None,
    correlation_of: str = "scores",
    method: str = "pseudo-random",
    scrambles: SupportsIndex = 16,
    digits: SupportsIndex | None = None,
    most_draws: SupportsIndex = 10000000,
    coverage: SupportsFloat | SupportsIndex = 0.95,
    progress: Progress | None = None,
) -> Prediction:
    """
    Predicts the readings of a service, by Monte Carlo (JCGM 101:2008) over every uncertain input.

    Draw i of an input is a function of the seed, the input's path and i: the same seed gives the same bits for any number of
    threads.

    Parameters
    ----------
    circuit : Circuit
        What is served.
    events : sequence of Event
        What is done, in order.
    start : State, optional
        Where every draw starts, as in `simulate`: the masses of a state of this circuit are taken as exact, so that uncertain inputs
        act from there on.
    draws : int, optional
        Number of draws, 1 to 100 million; for ``"sobol"`` `scrambles` times a power of two. Where it is not stated 100 000, for
        ``"sobol"`` `scrambles` times 8192. Not used with `digits`.
    seed : int
        Seed of every stream, 0 to 2**64 - 1.
    correlations : mapping of pair of str to float, optional
        Coefficients of pairs of inputs by path, such as ``{("stores.cooler.running", "stores.head.running"): 0.5}``; others are
        independent. The inputs are tied by a Gaussian copula.
    correlation_of : str
        ``"scores"`` or ``"ranks"``, as in `propagate`.
    method : str
        ``"pseudo-random"`` or ``"sobol"``, as in `propagate`.
    scrambles : int
        Independent scrambles of Sobol' points, 2 to 1000; with `digits` each batch is one.
    digits : int, optional
        Draws in batches until mean, standard uncertainty and both ends of the coverage interval of every reading and of the
        volume at the end are stable to half a unit of this many significant digits of the standard uncertainty (JCGM 101,
        7.9): 1 to 4.
    most_draws : int
        With `digits`: after so many draws the work ends all the same, and `Prediction.settled` is False.
    coverage : float
        Coverage probability that `digits` watches, 0.5 to 0.9999.
    progress : callable, optional
        Is called with the number of draws done and the number asked for at most, while a long prediction runs and at its end.

    Returns
    -------
    Prediction
        Readings with their uncertainty, if the stated uncertainties are right.

    Raises
    ------
    ServiceError
        If the service cannot be carried out at nominal values, or the start is no state of this circuit.
    EstimateError
        If an option is out of range, a correlation contradicts another or names no uncertain input, or an attitude is stated
        with an uncertainty that cannot be drawn there, which the message says with what to do.

    Examples
    --------
    >>> import fillmark as fm
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> p = fm.predict(bus, [fm.Read(label="dip")], draws=1000, seed=1)
    >>> abs(p.reading("dip").fraction.mean - 1.0) < 0.1
    True
    """

def propagate(
    model: Model,
    inputs: Inputs,
    *,
    correlations: Correlations | None = None,
    correlation_of: str = "scores",
    method: str = "pseudo-random",
    draws: SupportsIndex = 131072,
    digits: SupportsIndex | None = None,
    most_draws: SupportsIndex = 100000000,
    scrambles: SupportsIndex = 16,
    coverage: SupportsFloat | SupportsIndex = 0.95,
    seed: SupportsIndex = 1,
    progress: Progress | None = None,
) -> Propagation:
    """
    Propagates what is known of the inputs through a model, by draws (JCGM 101:2008) and to first order (JCGM 100:2008).

    Draw i of an input depends on seed, name and i alone: the same seed gives the same bits. Inputs without correlation are
    independent; a thing that enters twice, such as one jug used for two pours, is one input.

    Parameters
    ----------
    model : Circuit or callable
        A function is called with one array for each input, by name, in the unit of the input's text, and gives an array of the
        same length, or a dict of such arrays. Each element must depend on the inputs' elements of the same index alone.
        A circuit is served as the events say.
    inputs : sequence of Event, or mapping of str to Uncertain, float or str
        Of a function: what is known of each input; a number is exact. Of a circuit: the events; the inputs are then those of
        the service that are uncertain, by path, in SI units. The results are ``"final fraction"`` and ``"final litres"`` (true
        level at the end, drained back, filter full, in the reference condition), and for every reading ``"LABEL mm"``,
        ``"LABEL fraction"`` and ``"LABEL litres_from_max"``, with its number where the label is missing or used twice.
    correlations : mapping of pair of str to float, optional
        Coefficients of pairs of inputs, strictly between -1 and 1, such as ``{("a", "b"): 0.9}``; other pairs have 0. The
        matrix must be positive definite. The inputs are tied by a Gaussian copula.
    correlation_of : str
        ``"scores"``: coefficients are product-moment correlations of the normal scores, and so of the values where both inputs
        are normal. ``"ranks"``: Spearman's rank correlations, whatever the distributions (the scores get
        ``2*sin(pi*r/6)``).
    method : str
        ``"pseudo-random"``: ChaCha streams. ``"sobol"``: Sobol' points (Joe and Kuo 2008, up to 512 uncertain inputs) with
        Owen's scrambling, which need fewer draws for smooth models.
    draws : int
        Number of draws, 2 to 100 million; for ``"sobol"`` `scrambles` times a power of two. Not used with `digits`.
    digits : int, optional
        Draws in batches until mean, standard uncertainty and both ends of the coverage interval of every result are stable to
        half a unit of this many significant digits of the standard uncertainty (JCGM 101, 7.9): 1 to 4.
    most_draws : int
        With `digits`: after so many draws the work ends all the same, and `Propagation.settled` is False.
    scrambles : int
        Independent scrambles of Sobol' points, 2 to 1000; with `digits` each batch is one.
    coverage : float
        Coverage probability that `digits` watches, 0.5 to 0.9999.
    seed : int
        Seed of every stream, 0 to 2**64 - 1.
    progress : callable, optional
        Is called with the number of draws done and the number asked for at most.

    Returns
    -------
    Propagation
        The results with their uncertainty, if the stated uncertainties are right.

    Raises
    ------
    EstimateError
        If inputs or correlations contradict themselves, an option is out of range, or a result is not finite or of the wrong
        length.

    Examples
    --------
    The sum of four standard normal inputs, JCGM 101, 9.2.2: the 95 % interval is -3.92 to 3.92.

    >>> import fillmark as fm
    >>> four = {name: fm.Uncertain.normal(0, 1) for name in ("a", "b", "c", "d")}
    >>> y = fm.propagate(lambda a, b, c, d: a + b + c + d, four, method="sobol").result()
    >>> round(y.standard_uncertainty, 2), [round(end, 2) for end in y.first_order.interval(0.95)]
    (2.0, [-3.92, 3.92])
    """

def reconcile(
    circuit: Circuit,
    *,
    plug: str | None = None,
    minutes: Quantity | None = None,
    temperature_c: Quantity | None = None,
    draws: SupportsIndex = 10000,
    seed: SupportsIndex = 1,
) -> Reconciliation:
    """
    Says how far a circuit's drawing is from its service sheet, and which single quantity would close the gap.

    By the drawing, with a nominal drain at the reference attitude: the service capacity brings the sump from the end of that drain to
    MAX in the reference condition, filter taken off or kept; the dry capacity is the volume at MAX with what filter and stores hold; the
    span is the volume between the marks. Uncertainties of the drawing by Monte Carlo over every uncertain input.

    Parameters
    ----------
    circuit : Circuit
        With a ``[book]``, and a plug.
    plug : str, optional
        Plug of the nominal drain; the lowest where not given.
    minutes : quantity
        How long it is open [min]; 10 where not given (common practice, no source).
    temperature_c : quantity
        Temperature of the oil then [°C]; 60 where not given.
    draws, seed : int
        As in `predict`.

    Returns
    -------
    Reconciliation
        The figures side by side, and what would close each gap.

    Raises
    ------
    CircuitError
        If the circuit has no plug.
    ServiceError
        If it has no plug of that name, or the drain is out of range.
    EstimateError
        If an option is out of range.

    Examples
    --------
    >>> import fillmark as fm
    >>> sheet = fm.Circuit.from_book(service_with_filter_l=5.4, service_without_filter_l=5.0, dry_l=5.9)
    >>> figures = fm.reconcile(sheet, draws=100).columns()
    >>> [round(float(gap), 6) + 0.0 for gap in figures["gap_l"]]
    [0.0, 0.0, 0.0, 0.0]
    """

def sensitivity(
    model: Model,
    inputs: Inputs,
    *,
    of: str | None = None,
    correlations: Correlations | None = None,
    correlation_of: str = "scores",
    method: str = "sobol",
    draws: SupportsIndex = 4096,
    replicates: SupportsIndex = 16,
    coverage: SupportsFloat | SupportsIndex = 0.95,
    seed: SupportsIndex = 1,
    progress: Progress | None = None,
) -> Sensitivity:
    """
    Finds what drives a result: Sobol' indices of a model, with their coverage intervals.

    With draws A and B, and AB which is A but for the inputs of one group, taken from B: the first-order index is
    ``mean(f(B)*(f(AB) - f(A)))/V`` (Saltelli et al. 2010, Computer Physics Communications 181:259, with f counted from its
    mean), the total index ``mean((f(A) - f(AB))**2)/(2*V)`` (Jansen 1999, Computer Physics Communications 117:35). Correlated
    inputs cannot be told apart this way and make one group (Jacques, Lavergne and Devictor 2006, Reliability Engineering and
    System Safety 91:1126). What two events share, such as one jug, is one input.

    Parameters
    ----------
    model : Circuit or callable
        As in `propagate`. It is evaluated ``replicates*draws*(groups + 2)`` times.
    inputs : sequence of Event, or mapping of str to Uncertain, float or str
        As in `propagate`.
    of : str, optional
        Name of the result: of a service ``"final fraction"`` where none is named (see `propagate`; the label of a reading alone
        means its millimetres), of a function that gives a dict one of its keys.
    correlations : mapping of pair of str to float, optional
        As in `propagate`.
    correlation_of : str
        As in `propagate`.
    method : str
        ``"sobol"`` (up to 256 uncertain inputs) or ``"pseudo-random"``.
    draws : int
        Draws of each repetition, a power of two from 16 to 8 388 608.
    replicates : int
        Independent repetitions, from whose scatter the intervals come: 4 to 1000.
    coverage : float
        Coverage probability of the intervals, 0.5 to 0.9999.
    seed : int
        Seed of every stream, 0 to 2**64 - 1.
    progress : callable, optional
        Is called with the number of evaluations done and the number asked for.

    Returns
    -------
    Sensitivity
        The shares of every input in the variance of the result.

    Raises
    ------
    EstimateError
        If the result does not vary, or as in `propagate`.

    Examples
    --------
    >>> import fillmark as fm
    >>> inputs = {"a": fm.Uncertain.normal(0, 2), "b": fm.Uncertain.normal(0, 1)}
    >>> found = fm.sensitivity(lambda a, b: a + b, inputs)
    >>> found.inputs, found.columns()["first"].round(2).tolist()
    ([['a'], ['b']], [0.8, 0.2])

    Of a service:

    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> service = [fm.Drain(minutes=10), fm.Pour(6.5, measured_with="jug"), fm.Run(minutes=1), fm.Rest(minutes=5)]
    >>> shares = fm.sensitivity(bus, service, of="final fraction", draws=256)
    >>> "instruments.jug.scale" in shares.columns()["input"]
    True
    """

def simulate(circuit: Circuit, events: Events, *, start: State | None = None) -> Timeline:
    """
    Carries a service out once, every input at its nominal value.

    Parameters
    ----------
    circuit : Circuit
        What is served.
    events : Service or sequence of Event
        What is done, in order.
    start : State, optional
        A state of this circuit, such as that of an earlier timeline's last row, plugs closed and filter fitted; at MAX in the
        reference condition, all old oil, where not stated.

    Returns
    -------
    Timeline
        The state after every event, the readings and the ledger.

    Raises
    ------
    ServiceError
        If an event cannot be carried out in this order or amount, which the message names; or if the start is no state of this
        circuit.

    Examples
    --------
    >>> import fillmark as fm
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> line = fm.simulate(bus, [fm.Drain(minutes=10), fm.Pour(6.5), fm.Read(label="dip")])
    >>> 0.0 < line.reading("dip").fraction < 1.0
    True
    >>> later = fm.simulate(bus, [fm.Rest(hours=12), fm.Read(label="next day")], start=line.rows[-1].state)
    >>> later.reading("next day").mm >= line.reading("dip").mm
    True
    """

def tornado(
    model: Model, inputs: Inputs, *, of: str | None = None, coverage: SupportsFloat | SupportsIndex = 0.95
) -> Tornado:
    """
    Moves one input at a time to the ends of its coverage interval, with every other at its nominal value.

    A picture for the eye (common practice, no source): it shows no interaction and takes no notice of correlations. The
    shares of the variance are in `sensitivity`.

    Parameters
    ----------
    model : Circuit or callable
        As in `propagate`.
    inputs : sequence of Event, or mapping of str to Uncertain, float or str
        As in `propagate`.
    of : str, optional
        Name of the result, as in `sensitivity`.
    coverage : float
        Coverage probability of the inputs' intervals, 0.01 to 0.9999: 0.95 moves each between its 2.5 % and 97.5 % quantile.

    Returns
    -------
    Tornado
        The effect of every uncertain input, the largest first.

    Examples
    --------
    >>> import fillmark as fm
    >>> inputs = {"a": fm.Uncertain.rectangular(0, 1), "b": fm.Uncertain.rectangular(0, 4)}
    >>> fm.tornado(lambda a, b: a + b, inputs, coverage=0.5).columns()["input"].tolist()
    ['b', 'a']
    """

def trend(
    over: Quantities,
    reading_mm: Quantities,
    *,
    ml_per_mm: Any,
    added_over: Quantities | None = None,
    added_l: Quantities | None = None,
    min_mm: Given | None = None,
    max_mm: Given | None = None,
    jug_scale: Given | None = None,
    scatter_mm: Given | None = None,
    prior_change_l: Quantity | None = None,
    probability_change: SupportsFloat | SupportsIndex = 0.2,
    probability_jump: SupportsFloat | SupportsIndex = 0.1,
    unit: str = "km",
    per: SupportsFloat | SupportsIndex = 1000.0,
    coverage: SupportsFloat | SupportsIndex = 0.95,
    draws: SupportsIndex = 10000,
    seed: SupportsIndex = 1,
) -> Trend:
    """
    Finds the rate at which oil is lost or gained from readings over use, where it changed, and when a mark is reached.

    With ``t`` the use since the first reading as a share of the record, the reading is ``s0 + k A + r t + e`` (``A`` what had been
    added, ``k`` the jug's scale over mL per mm), or also ``d max(0, t - tau)``: the rate changed once, or a jump that nobody recorded. All coefficients have normal priors, so that
    for a given ``tau`` and scatter posterior and marginal likelihood are exact (Bayesian linear regression: Gelman et al., Bayesian Data Analysis,
    3rd ed., 14.8); ``tau`` (uniform over the record), the scatter and the three models are summed over: the single change point of Smith,
    Biometrika 62 (1975) 407. The level shows only the *net* gain, ingress less use; see `Trend.ridge`.

    Parameters
    ----------
    over : array_like
        Use at each reading, such as the odometer [km] or hours, in any unit, not falling. At least three readings, at most 500.
    reading_mm : array_like
        Readings, from the tip along the blade [mm], all under the same conditions.
    ml_per_mm : quantity
        Volume per length of blade [mL/mm], such as ``"45(2) mL/mm"`` or ``Calibration.ml_per_mm``; counts by mean and standard uncertainty.
    added_over, added_l : array_like, optional
        Where something was added and how much [L]; below 0 what was taken out. An addition at the place of a reading was made after it.
    min_mm, max_mm : quantity, optional
        The marks [mm].
    jug_scale : quantity
        True volume over stated volume of the additions, all alike; counts by mean and standard uncertainty.
    scatter_mm : quantity, optional
        As in `calibrate`.
    prior_change_l : quantity
        Standard deviation of the priors of what is lost or gained over the whole record, of its change and of a jump [L]; 2 where not
        given (judgement). The probabilities of change and jump depend on it.
    probability_change, probability_jump : float
        Prior probabilities that the rate changed, and of a jump (judgement).
    unit : str
        Name of the unit of `over`.
    per : float
        Rates are per so much use, such as 1000 km.
    coverage : float
        Coverage probability of the bands, 0.5 to 0.999.
    draws, seed : int
        Draws, 100 to 1 000 000, and their seed.

    Returns
    -------
    Trend
        Rates with bands, probabilities of a change and a jump, when MIN or MAX is reached.

    Raises
    ------
    QuantityError
        If a number is not finite or out of range.
    LearnError
        If there are too few readings, or they are out of order or all at one place.

    Examples
    --------
    >>> import fillmark as fm
    >>> record = fm.trend(
    ...     over=[0, 2000, 4000, 6000, 8000], reading_mm=[61.0, 50.5, 41.0, 52.0, 41.5], ml_per_mm=45,
    ...     added_over=[4000], added_l=[1.0], min_mm=30, max_mm=62, scatter_mm=1,
    ... )
    >>> record.rate_l.low < -0.22 < record.rate_l.high
    True
    >>> record.reaches_min.unit
    'km'
    """

def wait_advice(
    circuit: Circuit,
    events: Events,
    *,
    shows_mm: Quantity | None = None,
    longest_seconds: Quantity | None = None,
    draws: SupportsIndex = 2000,
    seed: SupportsIndex = 1,
    progress: Progress | None = None,
) -> WaitAdvice:
    """
    Says how long to wait before reading: until what still drains back is less than the stick shows.

    On its way back are the pools and films of the stores, what a leaking filter lets go and what hangs on the filler path, by the
    laws of a rest: thicker as it cools, where the circuit cools. All of it together must raise the reading, at the attitude in
    which the vehicle waits, by less than the stick shows.

    Parameters
    ----------
    circuit : Circuit
        What is served.
    events : sequence of Event
        What was done up to the beginning of the wait, such as a `Run`; no plug may be left open.
    shows_mm : quantity, optional
        What the stick shows [mm], 0.01 to 100 mm; where it is not stated the scatter of one reading, ``dipstick.scatter``.
    longest_seconds : quantity
        No longer wait is looked for [s], 1 s to 30 days.
    draws : int
        Draws over which the wait is taken, 2 to 100 million.
    seed : int
        Seed of every stream, 0 to 2**64 - 1.
    progress : callable, optional
        Is called with the number of draws done and the number asked for.

    Returns
    -------
    WaitAdvice
        The wait at nominal values and over all draws; prints as a page.

    Raises
    ------
    EstimateError
        If the stick shows nothing stated, a plug is left open, or an option is out of range.
    ServiceError
        If the service cannot be carried out at nominal values.

    Examples
    --------
    >>> import fillmark as fm
    >>> bus = fm.Circuit.demo("shuttle-bus")
    >>> advice = fm.wait_advice(bus, [fm.Run(minutes=1)], draws=200)
    >>> 60 < advice.seconds < 3600
    True
    """

def weighed_residue(
    drained_kg: Quantities,
    *,
    held_l: Given,
    density_kg_m3: Given,
    held_scatter_l: Quantity | None = None,
    service_scatter_l: Given | None = None,
    scale: Given | None = None,
    weighing_kg: Quantity | None = None,
    filter_l: Given | None = None,
    coverage: SupportsFloat | SupportsIndex = 0.95,
    draws: SupportsIndex = 10000,
    seed: SupportsIndex = 1,
) -> WeighedResidue:
    """
    Finds what drains left in a circuit, from what was in and what was weighed out.

    ``R_i = V - c m_i/ρ - F``: before each drain the circuit held ``V``, the scale showed ``m_i``, the filter took ``F`` away. Mass needs no temperature: with the
    density at the temperature for which `held_l` is meant, so is the residue. The errors of ``V``, ``ρ``, ``c`` and ``F`` are shared by all services and do not
    shrink with their number. What differs from service to service is normal: the residue itself with `service_scatter_l`, whose prior the scatter of the masses
    sharpens (a hierarchical model: Gelman et al., Bayesian Data Analysis, 3rd ed., 5.4), the rest with `held_scatter_l` and `weighing_kg`. Distributions are propagated by Monte
    Carlo (JCGM 101).

    Parameters
    ----------
    drained_kg : array_like
        Mass drained in each service, tare taken off [kg]; 1 to 500 services.
    held_l : quantity
        In the circuit before each drain, filter and stores included [L], such as the dry capacity where the reading stood at MAX.
    density_kg_m3 : quantity
        Density of the old oil [kg/m3] at the temperature for which `held_l` is meant.
    held_scatter_l : quantity
        Standard uncertainty of what a single service began with, such as of the reading before it [L].
    service_scatter_l : quantity, optional
        Standard deviation of the residue from service to service [L], such as by temperature and time; 0 where such drains do not differ. Where not given,
        lognormal with median 1 % of `held_l` and 0.7 as standard deviation of its logarithm (judgement).
    scale : quantity
        True mass over what the scale shows, such as ``"1.000(2)"``.
    weighing_kg : quantity
        Standard uncertainty of a single weighing, tare included [kg]; 0.005 where not given (judgement).
    filter_l : quantity
        What went away inside the old filter [L].
    coverage : float
        Coverage probability of the bands, 0.5 to 0.999.
    draws, seed : int
        Draws, 100 to 1 000 000, and their seed.

    Returns
    -------
    WeighedResidue
        Residue of each service, of such drains in the mean, and of the next.

    Raises
    ------
    QuantityError
        If a number is not finite or out of range.
    LearnError
        If there is no service, or more came out than was in, by over three standard uncertainties.

    Examples
    --------
    >>> import fillmark as fm
    >>> found = fm.weighed_residue([5.91, 5.87, 5.95], held_l="7.90(5) L", density_kg_m3="868(3) kg/m3", filter_l="0.38(3) L")
    >>> found.residue_l.low < 0.71 < found.residue_l.high
    True
    """

def withdrawal_film_um(
    fluid: Fluid,
    *,
    temperature_c: Quantity,
    speed_mm_s: SupportsFloat | SupportsIndex,
    slope_deg: Quantity | None = None,
    surface_tension_n_m: Quantity | None = None,
) -> float:
    """
    Thickness of the film on a stick drawn out of oil.

    The thinner of two regimes, with ``Ca = mu U / sigma``: capillary, ``0.9458 l_c Ca**(2/3)`` (L. Landau and B. Levich
    1942), and gravity, ``sqrt(mu U / (rho g sin(alpha)))`` (B. Derjaguin 1943). They cross at Ca = 1.4 for an upright stick;
    the first is for an upright plate and used for leaning ones too (judgement).

    Parameters
    ----------
    fluid : Fluid
        With a viscosity.
    temperature_c : quantity
        Its temperature [°C].
    speed_mm_s : float
        Speed of the stick along itself [mm/s], above 0.
    slope_deg : quantity
        Slope of the stick against the horizontal [deg], 1 to 90; upright where not given.
    surface_tension_n_m : quantity
        Surface tension [N/m]; 0.030 where not given (engine oil, from memory).

    Returns
    -------
    float
        Thickness on each side [um].

    Raises
    ------
    FluidError
        If the fluid has no viscosity, or the temperature is outside its range.
    QuantityError
        If another value is outside its range.

    Examples
    --------
    >>> import fillmark as fm
    >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    >>> round(fm.withdrawal_film_um(oil, temperature_c=40.0, speed_mm_s=100.0))
    748
    """

def worth_measuring(
    model: Model,
    inputs: Inputs,
    *,
    of: str | None = None,
    correlations: Correlations | None = None,
    correlation_of: str = "scores",
    method: str = "sobol",
    draws: SupportsIndex = 1024,
    replicates: SupportsIndex = 16,
    coverage: SupportsFloat | SupportsIndex = 0.95,
    seed: SupportsIndex = 1,
    progress: Progress | None = None,
) -> WorthMeasuring:
    """
    Finds which measurement would help most: how much of a result's variance would go if an input were known better.

    ``known`` is the share that would go, on average, if the input were known exactly: its first-order Sobol' index. ``halved`` is
    the share that would go if it lay half as far from its mean in every draw, so that its standard uncertainty were half as
    large; where the result is a sum with a term of its own for the input, three quarters of ``known``. Correlated inputs are
    measured together.

    Parameters
    ----------
    model : Circuit or callable
        As in `propagate`. It is evaluated ``replicates*draws*(2*groups + 2)`` times.
    inputs : sequence of Event, or mapping of str to Uncertain, float or str
        As in `propagate`.
    of : str, optional
        Name of the result, as in `sensitivity`.
    correlations, correlation_of, method, draws, replicates, coverage, seed, progress : object
        As in `sensitivity`.

    Returns
    -------
    WorthMeasuring
        The inputs, the most worthwhile first.

    Raises
    ------
    EstimateError
        If the result does not vary, or as in `propagate`.

    Examples
    --------
    >>> import fillmark as fm
    >>> bus = fm.Circuit.demo("shuttle-bus").replace({"instruments.jug.scale": "1.00(4)"})
    >>> service = [fm.Drain(minutes=10), fm.Pour(6.5, measured_with="jug"), fm.Run(minutes=1), fm.Rest(minutes=5)]
    >>> fm.worth_measuring(bus, service, draws=256).columns()["input"][0].item()
    'instruments.jug.scale'
    """
