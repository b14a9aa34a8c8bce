//! Shapes of sumps beyond the box, and sumps made from others, for Python.

use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::angle::radian;
use uom::si::f64::{Angle, Length};
use uom::si::length::meter;

use super::arrays::{Nested, Values};
use super::detach::run_detached;
use super::errors;
use super::quantity::{Scalar, shown};
use super::rebuild::reduce;
use super::recipe::Recipe;
use super::sump::Sump;
use super::unit::{Degree, Millimetre, One};
use crate::geometry::{
    Axis, Cylinder, End as CoreEnd, Floor, GeometryError, Point, Section, Stepped, Sump as CoreSump,
};

fn metres(mm: f64) -> Length {
    Length::new::<meter>(mm / 1e3)
}

/// How a cylinder ends. Immutable, compared by value.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.End.flat(), fm.End.ellipsoidal(), fm.End.torispherical(knuckle=0.1)
/// (End.flat(), End.ellipsoidal(), End.torispherical(crown=1.0, knuckle=0.1))
#[pyclass(frozen, eq, module = "fillmark")]
#[derive(Clone, Copy, PartialEq)]
pub(super) struct End {
    kind: Kind,
}

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Flat,
    Conical(f64),
    Spherical(f64),
    /// Without a depth the 2:1 end, a quarter of the diameter deep.
    Ellipsoidal(Option<f64>),
    Torispherical(f64, f64),
}

impl End {
    fn core(self, diameter_mm: f64) -> CoreEnd {
        match self.kind {
            Kind::Flat => CoreEnd::Flat,
            Kind::Conical(depth) => CoreEnd::Conical { depth: metres(depth) },
            Kind::Spherical(depth) => CoreEnd::Spherical { depth: metres(depth) },
            Kind::Ellipsoidal(depth) => CoreEnd::Ellipsoidal { depth: metres(depth.unwrap_or(diameter_mm / 4.0)) },
            Kind::Torispherical(crown, knuckle) => CoreEnd::Torispherical { crown, knuckle },
        }
    }

    /// Constructor and keywords.
    fn call(self) -> (&'static str, Vec<(&'static str, f64)>) {
        match self.kind {
            Kind::Flat => ("flat", vec![]),
            Kind::Conical(depth) => ("conical", vec![("depth_mm", depth)]),
            Kind::Spherical(depth) => ("spherical", vec![("depth_mm", depth)]),
            Kind::Ellipsoidal(depth) => ("ellipsoidal", depth.map(|d| ("depth_mm", d)).into_iter().collect()),
            Kind::Torispherical(crown, knuckle) => ("torispherical", vec![("crown", crown), ("knuckle", knuckle)]),
        }
    }
}

#[pymethods]
impl End {
    /// A flat disc.
    ///
    /// Returns
    /// -------
    /// End
    ///     Without depth.
    #[staticmethod]
    fn flat() -> Self {
        Self { kind: Kind::Flat }
    }

    /// A cone.
    ///
    /// Parameters
    /// ----------
    /// depth_mm : quantity
    ///     Depth at the axis, outwards from the edge of the barrel [mm]; at least 0.01.
    ///
    /// Returns
    /// -------
    /// End
    ///     Its depth is checked when the cylinder is made.
    #[staticmethod]
    #[pyo3(signature = (*, depth_mm))]
    fn conical(depth_mm: Scalar<'_, Millimetre>) -> PyResult<Self> {
        Ok(Self { kind: Kind::Conical(depth_mm.number("depth_mm")?) })
    }

    /// A spherical cap.
    ///
    /// Parameters
    /// ----------
    /// depth_mm : quantity
    ///     Depth at the axis [mm], at most the radius (then a hemisphere).
    ///
    /// Returns
    /// -------
    /// End
    ///     Its depth is checked when the cylinder is made.
    #[staticmethod]
    #[pyo3(signature = (*, depth_mm))]
    fn spherical(depth_mm: Scalar<'_, Millimetre>) -> PyResult<Self> {
        Ok(Self { kind: Kind::Spherical(depth_mm.number("depth_mm")?) })
    }

    /// Half an ellipsoid.
    ///
    /// Parameters
    /// ----------
    /// depth_mm : quantity
    ///     Depth at the axis [mm]; a quarter of the diameter where not given, which is the usual 2:1 end.
    ///
    /// Returns
    /// -------
    /// End
    ///     Its depth is checked when the cylinder is made.
    #[staticmethod]
    #[pyo3(signature = (*, depth_mm = None))]
    fn ellipsoidal(depth_mm: Option<Scalar<'_, Millimetre>>) -> PyResult<Self> {
        Ok(Self { kind: Kind::Ellipsoidal(depth_mm.map(|d| d.number("depth_mm")).transpose()?) })
    }

    /// A shallow sphere joined to the barrel by a torus.
    ///
    /// Parameters
    /// ----------
    /// crown : quantity
    ///     Radius of the sphere as a fraction of the diameter [1]; more than one half, 1 where not given (common).
    /// knuckle : quantity
    ///     Radius of the torus as a fraction of the diameter [1]; less than one half, 0.06 where not given (common).
    ///
    /// Returns
    /// -------
    /// End
    ///     Its radii are checked when the cylinder is made.
    #[staticmethod]
    #[pyo3(signature = (*, crown = None, knuckle = None))]
    fn torispherical(crown: Option<Scalar<'_, One>>, knuckle: Option<Scalar<'_, One>>) -> PyResult<Self> {
        let crown = crown.map_or(Ok(1.0), |c| c.number("crown"))?;
        let knuckle = knuckle.map_or(Ok(0.06), |k| k.number("knuckle"))?;
        Ok(Self { kind: Kind::Torispherical(crown, knuckle) })
    }

    fn __repr__(&self) -> String {
        let (name, keywords) = self.call();
        let keywords: Vec<String> = keywords.iter().map(|(name, value)| format!("{name}={value:?}")).collect();
        format!("End.{name}({})", keywords.join(", "))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let (name, given) = self.call();
        let keywords = PyDict::new(py);
        given.iter().try_for_each(|(name, value)| keywords.set_item(name, value))?;
        reduce::<Self>(py, name, keywords)
    }
}

/// One end, or a pair.
struct Ends([End; 2]);

impl<'py> FromPyObject<'_, 'py> for Ends {
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const INPUT_TYPE: pyo3::inspect::PyStaticExpr = pyo3::type_hint_identifier!("fillmark._types", "Ends");

    fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        if let Ok(end) = object.cast::<End>() {
            return Ok(Self([*end.get(); 2]));
        }
        let refuse = || {
            let text = format!("ends = {} is no fillmark.End and no pair of them", shown(&object));
            PyTypeError::new_err(text)
        };
        let both: Vec<Bound<'py, PyAny>> =
            object.try_iter().map_err(|_| refuse())?.collect::<PyResult<_>>().map_err(|_| refuse())?;
        let [low, high] = both.as_slice() else { return Err(refuse()) };
        let end = |object: &Bound<'py, PyAny>| object.cast::<End>().map(|end| *end.get()).map_err(|_| refuse());
        Ok(Self([end(low)?, end(high)?]))
    }
}

/// Facet tolerance where none is given.
const FACET_TOLERANCE: f64 = 1e-5;

/// Wraps a sump that is made from another one.
fn derived<F>(sump: &Bound<'_, Sump>, recipe: Recipe, make: F) -> PyResult<Sump>
where
    F: Send + FnOnce(CoreSump) -> Result<CoreSump, GeometryError>,
{
    let core = sump.get().inner.clone();
    Ok(Sump::made_by(run_detached(sump.py(), move || make(core))?, recipe))
}

#[pymethods]
impl Sump {
    /// A shallow tray with a deep well over its full width.
    ///
    /// The origin is on the well's floor, at the middle of the tray's length and width.
    ///
    /// Parameters
    /// ----------
    /// length_mm, width_mm, tray_height_mm : quantity
    ///     Sides of the space above the tray's floor, along x, y and z [mm], 1 to 20 000.
    /// well_length_mm, well_depth_mm : quantity
    ///     Length of the well along x, at most that of the tray, and its depth below the tray's floor [mm].
    /// well_from_rear_mm : quantity
    ///     How far the well's rear wall is ahead of the tray's [mm]; 0 (the well is at the rear) where not given.
    ///
    /// Returns
    /// -------
    /// Sump
    ///     Of ``width (length tray_height + well_length well_depth)``.
    ///
    /// Raises
    /// ------
    /// QuantityError, GeometryError
    ///     If a side is outside its range, or the well does not fit.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.stepped(
    /// ...     length_mm=300.0, width_mm=200.0, tray_height_mm=50.0, well_length_mm=120.0, well_depth_mm=60.0
    /// ... )
    /// >>> round(pan.capacity_l, 9)
    /// 4.44
    #[staticmethod]
    #[pyo3(signature = (*, length_mm, width_mm, tray_height_mm, well_length_mm, well_depth_mm, well_from_rear_mm=None))]
    fn stepped(
        py: Python<'_>,
        length_mm: Scalar<'_, Millimetre>,
        width_mm: Scalar<'_, Millimetre>,
        tray_height_mm: Scalar<'_, Millimetre>,
        well_length_mm: Scalar<'_, Millimetre>,
        well_depth_mm: Scalar<'_, Millimetre>,
        well_from_rear_mm: Option<Scalar<'_, Millimetre>>,
    ) -> PyResult<Self> {
        let mut recipe = Recipe::of("stepped");
        let mut read = |given: &Scalar<'_, Millimetre>, name: &'static str| {
            let number = given.number(name)?;
            recipe.add(py, name, number)?;
            Ok::<_, PyErr>(metres(number))
        };
        let inner = CoreSump::stepped(Stepped {
            length: read(&length_mm, "length_mm")?,
            width: read(&width_mm, "width_mm")?,
            tray_height: read(&tray_height_mm, "tray_height_mm")?,
            well_length: read(&well_length_mm, "well_length_mm")?,
            well_depth: read(&well_depth_mm, "well_depth_mm")?,
            well_from_rear: well_from_rear_mm.map_or(Ok(metres(0.0)), |m| read(&m, "well_from_rear_mm"))?,
        });
        Ok(Self::made_by(inner.map_err(errors::to_py)?, recipe))
    }

    /// A cylinder, upright or lying, with its ends.
    ///
    /// Curved walls are flat facets of equal area; the repr says how many. Upright, the origin is on the axis at the
    /// low end of the barrel; lying, on the axis at its middle.
    ///
    /// Parameters
    /// ----------
    /// diameter_mm : quantity
    ///     Inner diameter [mm].
    /// length_mm : quantity
    ///     Length of the straight barrel, without the ends [mm].
    /// axis : {"z", "x", "y"}
    ///     Direction of the axis: upright, along the body or across it.
    /// ends : End or pair of End
    ///     Both, or first the low, rear or right one; flat where not given.
    /// facet_tolerance : quantity
    ///     Largest volume error of the facets at any level and attitude, as a fraction of the capacity [1], 1e-6 to 1e-2; 1e-5
    ///     where not given. Levels count from the lowest point of the true shape, not of its facets.
    ///
    /// Returns
    /// -------
    /// Sump
    ///     A flat-ended one holds ``pi d^2 l / 4`` within the facet tolerance.
    ///
    /// Raises
    /// ------
    /// QuantityError, GeometryError
    ///     If a value is outside its range, with its name.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> tank = fm.Sump.cylinder(diameter_mm=250.0, length_mm=300.0, axis="x", ends=fm.End.ellipsoidal())
    /// >>> round(tank.capacity_l, 3)
    /// 18.817
    #[staticmethod]
    #[pyo3(signature = (*, diameter_mm, length_mm, axis="z", ends=None, facet_tolerance=None))]
    fn cylinder(
        py: Python<'_>,
        diameter_mm: Scalar<'_, Millimetre>,
        length_mm: Scalar<'_, Millimetre>,
        axis: &str,
        ends: Option<Ends>,
        facet_tolerance: Option<Scalar<'_, One>>,
    ) -> PyResult<Self> {
        let (diameter, length) = (diameter_mm.number("diameter_mm")?, length_mm.number("length_mm")?);
        let tolerance = facet_tolerance.map_or(Ok(FACET_TOLERANCE), |t| t.number("facet_tolerance"))?;
        let Ends(ends) = ends.unwrap_or(Ends([End { kind: Kind::Flat }; 2]));
        let mut recipe = Recipe::of("cylinder").with(py, "diameter_mm", diameter)?.with(py, "length_mm", length)?;
        recipe.add(py, "axis", axis)?;
        recipe.add(py, "ends", PyTuple::new(py, ends)?)?;
        if tolerance.to_bits() != FACET_TOLERANCE.to_bits() {
            recipe.add(py, "facet_tolerance", tolerance)?;
        }
        let cylinder = Cylinder {
            diameter: metres(diameter),
            length: metres(length),
            axis: read_axis(axis)?,
            ends: ends.map(|end| end.core(diameter)),
            facet_tolerance: tolerance,
        };
        Ok(Self::made_by(run_detached(py, move || CoreSump::cylinder(&cylinder))?, recipe))
    }

    /// A sump through cross-sections at rising stations along x: flat ends, straight lines between matching points.
    ///
    /// Parameters
    /// ----------
    /// at_mm : array
    ///     Rising positions of the sections along x, at least two [mm].
    /// outlines_mm : array of float, shape (n, m, 2)
    ///     Outline of each section as (y, z), in either sense; the same number of points in matching order [mm].
    ///
    /// Returns
    /// -------
    /// Sump
    ///     Twisted sides are ruled surfaces, kept by four triangles around the middle of each.
    ///
    /// Raises
    /// ------
    /// ValueError
    ///     If the two do not match in shape.
    /// GeometryError
    ///     If stations do not rise, or an outline crosses itself or encloses nothing.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> small = [(-50.0, 0.0), (50.0, 0.0), (50.0, 60.0), (-50.0, 60.0)]
    /// >>> large = [(-80.0, -20.0), (80.0, -20.0), (80.0, 60.0), (-80.0, 60.0)]
    /// >>> pan = fm.Sump.from_sections(at_mm=[0.0, 300.0], outlines_mm=[small, large])
    /// >>> round(pan.capacity_l, 9)
    /// 2.76
    #[staticmethod]
    #[pyo3(signature = (*, at_mm, outlines_mm))]
    fn from_sections(
        py: Python<'_>,
        at_mm: Values<'_, Millimetre>,
        outlines_mm: Nested<'_, Millimetre>,
    ) -> PyResult<Self> {
        let at = at_mm.read("at_mm")?.flat();
        let wanted = "(sections, points, 2)";
        let ([sections, points, pair], flat) = outlines_mm.read::<3>("outlines_mm", wanted)?;
        if sections != at.len() || pair != 2 {
            let text =
                format!("outlines_mm has shape {:?}; it must be ({}, points, 2)", (sections, points, pair), at.len());
            return Err(errors::quantity(text, "quantity.wrong_shape"));
        }
        let outline = |k: usize| flat.chunks_exact(2).skip(k * points).take(points);
        let list: Vec<Vec<(f64, f64)>> = (0..sections).map(|k| outline(k).map(|p| (p[0], p[1])).collect()).collect();
        let of = |(at, outline): (&f64, &Vec<(f64, f64)>)| Section {
            at: metres(*at),
            outline: outline.iter().map(|(y, z)| (metres(*y), metres(*z))).collect(),
        };
        let given: Vec<Section> = at.iter().zip(&list).map(of).collect();
        let recipe = Recipe::of("from_sections").with(py, "at_mm", at)?.with(py, "outlines_mm", list)?;
        Ok(Self::made_by(run_detached(py, move || CoreSump::from_sections(&given))?, recipe))
    }

    /// A sump whose floor was measured on a grid: floor bilinear between points, upright walls, flat top.
    ///
    /// Parameters
    /// ----------
    /// x_mm, y_mm : array
    ///     Rising positions of the grid, at least two each [mm].
    /// z_mm : array of float, shape (len(x_mm), len(y_mm))
    ///     Height of the floor at every pair [mm].
    /// top_mm : quantity
    ///     Height of the flat top, above all of the floor [mm].
    ///
    /// Returns
    /// -------
    /// Sump
    ///     Holding the mean depth of every cell times its area.
    ///
    /// Raises
    /// ------
    /// ValueError
    ///     If the shapes do not match.
    /// GeometryError
    ///     If positions do not rise, or the floor reaches the top, with the place.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.from_floor(x_mm=[0, 100, 300], y_mm=[0, 200], z_mm=[[0, 0], [0, 0], [40, 40]], top_mm=90)
    /// >>> round(pan.capacity_l, 9)
    /// 4.6
    #[staticmethod]
    #[pyo3(signature = (*, x_mm, y_mm, z_mm, top_mm))]
    fn from_floor(
        py: Python<'_>,
        x_mm: Values<'_, Millimetre>,
        y_mm: Values<'_, Millimetre>,
        z_mm: Nested<'_, Millimetre>,
        top_mm: Scalar<'_, Millimetre>,
    ) -> PyResult<Self> {
        let (x, y, top) = (x_mm.read("x_mm")?.flat(), y_mm.read("y_mm")?.flat(), top_mm.number("top_mm")?);
        let ([rows, columns], z) = z_mm.read::<2>("z_mm", "(len(x_mm), len(y_mm))")?;
        if (rows, columns) != (x.len(), y.len()) {
            let text = format!("z_mm has shape {:?}; it must be {:?}", (rows, columns), (x.len(), y.len()));
            return Err(errors::quantity(text, "quantity.wrong_shape"));
        }
        let lengths = |mm: &[f64]| mm.iter().copied().map(metres).collect::<Vec<_>>();
        let floor = Floor { x: lengths(&x), y: lengths(&y), z: lengths(&z), top: metres(top) };
        let grid: Vec<Vec<f64>> = z.chunks_exact(columns.max(1)).map(<[f64]>::to_vec).collect();
        let recipe = Recipe::of("from_floor").with(py, "x_mm", x)?.with(py, "y_mm", y)?;
        let recipe = recipe.with(py, "z_mm", grid)?.with(py, "top_mm", top)?;
        Ok(Self::made_by(run_detached(py, move || CoreSump::from_floor(&floor))?, recipe))
    }

    /// The sump with a closed body inside it that takes up room, such as a pickup or a windage tray.
    ///
    /// Parameters
    /// ----------
    /// body : Sump
    ///     The body's shape, wholly within the liquid space.
    ///
    /// Returns
    /// -------
    /// Sump
    ///     Less the body's volume.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the body touches or cuts a wall or another body (within 1 micrometre), or lies outside, with the place:
    ///     such a body must be subtracted in the drawing of the liquid space.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> pickup = fm.Sump.box(length_mm=60.0, width_mm=40.0, height_mm=20.0).translated((0.0, 0.0, 15.0))
    /// >>> round(pan.with_displacer(pickup).capacity_l, 9)
    /// 5.952
    fn with_displacer(slf: &Bound<'_, Self>, body: &Bound<'_, Self>) -> PyResult<Self> {
        let recipe = Recipe::on(slf.as_any(), "with_displacer").with(slf.py(), "body", body)?;
        let inner = body.get().inner.clone();
        derived(slf, recipe, move |sump| sump.with_displacer(inner.need_mesh()?))
    }

    /// The sump moved in the body frame.
    ///
    /// Parameters
    /// ----------
    /// by_mm : tuple of float
    ///     Forward, to the left, up [mm].
    ///
    /// Returns
    /// -------
    /// Sump
    ///     Of the same volume.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the sump is known by a table or a span, which has no place.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> pan.translated((0.0, 0.0, -100.0))
    /// Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0).translated(by_mm=(0.0, 0.0, -100.0))
    fn translated(slf: &Bound<'_, Self>, by_mm: (f64, f64, f64)) -> PyResult<Self> {
        let recipe = Recipe::on(slf.as_any(), "translated").with(slf.py(), "by_mm", by_mm)?;
        let by = Point::from_mm(by_mm.into()).map_err(errors::to_py)?;
        derived(slf, recipe, move |sump| sump.translated(by))
    }

    /// The sump turned about an axis through the origin.
    ///
    /// Parameters
    /// ----------
    /// axis : tuple of float
    ///     Direction of the axis in the body frame, of any length.
    /// angle_deg : quantity
    ///     By the right-hand rule [deg].
    ///
    /// Returns
    /// -------
    /// Sump
    ///     Every vertex v becomes ``v cos a + (k x v) sin a + k (k . v)(1 - cos a)`` (Rodrigues' formula).
    ///
    /// Raises
    /// ------
    /// QuantityError, GeometryError
    ///     If the axis has no direction, or the sump is known by a table or a span.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> round(pan.rotated((0.0, 1.0, 0.0), angle_deg=90.0).height_mm(), 9)
    /// 300.0
    #[pyo3(signature = (axis, *, angle_deg))]
    fn rotated(slf: &Bound<'_, Self>, axis: (f64, f64, f64), angle_deg: Scalar<'_, Degree>) -> PyResult<Self> {
        let degrees = angle_deg.number("angle_deg")?;
        let recipe = Recipe::on(slf.as_any(), "rotated").with(slf.py(), "axis", axis)?;
        let recipe = recipe.with(slf.py(), "angle_deg", degrees)?;
        derived(slf, recipe, move |sump| sump.rotated(axis.into(), Angle::new::<radian>(degrees.to_radians())))
    }

    /// The sump with every length multiplied by a factor, about the origin; volumes go with its cube.
    ///
    /// Parameters
    /// ----------
    /// factor : quantity
    ///     The factor [1], 0.001 to 1000.
    ///
    /// Returns
    /// -------
    /// Sump
    ///     Of the same shape.
    ///
    /// Raises
    /// ------
    /// QuantityError, GeometryError
    ///     If the factor or the size is outside its range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> round(pan.scaled(0.5).capacity_l, 9)
    /// 0.75
    fn scaled(slf: &Bound<'_, Self>, factor: Scalar<'_, One>) -> PyResult<Self> {
        let factor = factor.number("factor")?;
        let recipe = Recipe::on(slf.as_any(), "scaled").with(slf.py(), "factor", factor)?;
        derived(slf, recipe, move |sump| sump.scaled(factor))
    }
}

/// The direction that a letter names.
fn read_axis(letter: &str) -> PyResult<Axis> {
    match letter {
        "z" => Ok(Axis::Upright),
        "x" => Ok(Axis::AlongX),
        "y" => Ok(Axis::AlongY),
        other => Err(errors::quantity(
            format!("axis = {other:?}; accepted are \"z\", \"x\" and \"y\""),
            "quantity.unknown_word",
        )),
    }
}
