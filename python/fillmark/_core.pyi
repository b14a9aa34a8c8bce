# Written by `make stubs` from the Rust sources; do not edit.
"""
Compiled part of fillmark.
"""

from typing import Any, final, overload

from fillmark._types import Number, Numbers, Quantity, SupportsTo
from numpy import float64
from numpy.typing import NDArray

__all__ = ["Fluid", "build_info"]

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
