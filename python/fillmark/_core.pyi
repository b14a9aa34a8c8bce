# Written by `make stubs` from the Rust sources; do not edit.
"""
Compiled part of fillmark.
"""

from os import PathLike
from typing import Any, SupportsFloat, SupportsIndex, final, overload

from _typeshed import SupportsGetItem
from fillmark._types import Number, Numbers, Quantities, Quantity, SupportsTo
from numpy import float64
from numpy.typing import NDArray

__all__ = ["Attitude", "Fluid", "Sump", "build_info"]

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
