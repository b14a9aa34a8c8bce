//! Sumps for Python.

use pyo3::IntoPyObjectExt;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyTuple};
use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::arrays::{Column, Nested, Table, Triples, Values};
use super::basins::{self, AirLock, Basins};
use super::detach::run_detached;
use super::errors;
use super::geometry::{Attitude, or_level};
use super::grades::read_metal;
use super::outlets::{self, HeelMap, Outlets};
use super::quantity::{Scalar, shortest};
use super::recipe::{NOTE, Recipe};
use super::text::FilePath;
use super::unit::{Degree, DegreeCelsius, Litre, Millimetre, PpmPerKelvin, Unit};
use crate::fluid::metal;
use crate::geometry::{ClosedMesh, LengthUnit, Span, Sump as CoreSump};
use crate::numeric::check;

/// The liquid space that is filled: asked for its volume and level at any attitude. Immutable.
///
/// A level is the height of the free surface above the sump's lowest point at that attitude, along *up*. Made by one of
/// its shapes, such as `Sump.box` or `Sump.from_stl`.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
/// >>> round(pan.volume_l(level_mm=50.0), 9)
/// 3.0
/// >>> pan.level_mm(volume_l=[0.0, 3.0, 6.0]).round(6)
/// array([  0.,  50., 100.])
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Sump {
    pub(super) inner: CoreSump,
    recipe: Recipe,
}

impl PartialEq for Sump {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

impl Sump {
    /// A sump with the constructor call that makes an equal one.
    pub(super) fn made_by(inner: CoreSump, recipe: Recipe) -> Self {
        Self { inner, recipe }
    }
}

#[pymethods]
impl Sump {
    /// A sump at a temperature: with every length times the cube root of ``1 + 3 alpha (t - t_drawn)``.
    ///
    /// So every volume is that of the drawing times ``1 + 3 alpha (t - t_drawn)``, as `capacity_ratio` gives it.
    ///
    /// Parameters
    /// ----------
    /// sump : Sump
    ///     As drawn.
    /// temperature_c : quantity
    ///     Its temperature [°C], -60 to 200.
    /// metal : {"mild steel", "stainless 304", "stainless 316", "cast aluminium"}
    ///     What it is made of, which gives alpha.
    /// expansion_ppm_k : quantity
    ///     In place of it, alpha itself [ppm/K], 0 to 500: the linear expansion.
    /// drawn_at_c : quantity
    ///     Temperature at which the drawing holds [°C]; 20 where not given (ISO 1, from memory).
    ///
    /// Returns
    /// -------
    /// Sump
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If a temperature is outside the range.
    /// QuantityError
    ///     If the expansion is outside its range.
    /// TypeError
    ///     If neither a metal nor an expansion is given, or both.
    /// ValueError
    ///     If the metal is unknown.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> warm = fm.Sump.expanded(pan, temperature_c=90.0, metal="cast aluminium")
    /// >>> round(warm.capacity_l, 4)
    /// 6.0277
    #[staticmethod]
    #[pyo3(signature = (sump, *, temperature_c, metal=None, expansion_ppm_k=None, drawn_at_c=None))]
    fn expanded(
        py: Python<'_>,
        sump: &Bound<'_, Self>,
        temperature_c: Scalar<'_, DegreeCelsius>,
        metal: Option<&str>,
        expansion_ppm_k: Option<Scalar<'_, PpmPerKelvin>>,
        drawn_at_c: Option<Scalar<'_, DegreeCelsius>>,
    ) -> PyResult<Self> {
        let temperature = temperature_c.number("temperature_c")?;
        let mut recipe = Recipe::of("expanded").with(py, "sump", sump)?.with(py, "temperature_c", temperature)?;
        let linear = match (metal, expansion_ppm_k) {
            (Some(word), None) => {
                recipe = recipe.with(py, "metal", word)?;
                read_metal(word)?.linear_expansion()
            }
            (None, Some(given)) => {
                let number = given.number("expansion_ppm_k")?;
                check::in_range("expansion_ppm_k", number, 0.0, 500.0, "ppm/K").map_err(errors::to_py)?;
                recipe = recipe.with(py, "expansion_ppm_k", number)?;
                PpmPerKelvin::to_si(number)
            }
            _ => return Err(PyTypeError::new_err("Sump.expanded takes either metal or expansion_ppm_k")),
        };
        let drawn_at = drawn_at_c.map(|t| t.number("drawn_at_c")).transpose()?;
        if let Some(drawn_at) = drawn_at {
            recipe = recipe.with(py, "drawn_at_c", drawn_at)?;
        }
        let [t, base] = metal::accepted(temperature, drawn_at.unwrap_or(20.0)).map_err(errors::to_py)?;
        let (cold, ratio) = (sump.get().inner.clone(), metal::capacity_ratio_si(linear, t, base).cbrt());
        Ok(Self { inner: run_detached(py, move || cold.scaled(ratio))?, recipe })
    }

    /// A box with its origin in the middle of the floor.
    ///
    /// Parameters
    /// ----------
    /// length_mm, width_mm, height_mm : quantity
    ///     Sides along x, y and z [mm], 1 to 20 000.
    ///
    /// Returns
    /// -------
    /// Sump
    ///     Of ``length width height``.
    ///
    /// Raises
    /// ------
    /// QuantityError, GeometryError
    ///     If a side is outside its range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> fm.Sump.box(length_mm=300.0, width_mm="20 cm", height_mm=100.0)
    /// Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    #[staticmethod]
    #[pyo3(name = "box", signature = (*, length_mm, width_mm, height_mm))]
    fn cuboid(
        py: Python<'_>,
        length_mm: Scalar<'_, Millimetre>,
        width_mm: Scalar<'_, Millimetre>,
        height_mm: Scalar<'_, Millimetre>,
    ) -> PyResult<Self> {
        let sides = [length_mm.number("length_mm")?, width_mm.number("width_mm")?, height_mm.number("height_mm")?];
        let [x, y, z] = sides.map(|side| Length::new::<meter>(side / 1e3));
        let recipe = Recipe::of("box").with(py, "length_mm", sides[0])?.with(py, "width_mm", sides[1])?.with(
            py,
            "height_mm",
            sides[2],
        )?;
        Ok(Self { inner: CoreSump::cuboid(x, y, z).map_err(errors::to_py)?, recipe })
    }

    /// A tapered box: rectangular floor and top joined by plane walls, its origin in the middle of the floor.
    ///
    /// Parameters
    /// ----------
    /// floor_mm, top_mm : tuple of float
    ///     Length along x and width along y of floor and top [mm], 1 to 20 000 each.
    /// height_mm : quantity
    ///     Height along z [mm], 1 to 20 000.
    ///
    /// Returns
    /// -------
    /// Sump
    ///     An obelisk: ``h (A1 + 4 Am + A2) / 6``, with the area half-way up in the middle (prismatoid formula).
    ///
    /// Raises
    /// ------
    /// QuantityError, GeometryError
    ///     If a side is outside its range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.tapered(floor_mm=(260.0, 150.0), top_mm=(300.0, 200.0), height_mm=90.0)
    /// >>> round(pan.capacity_l, 9)
    /// 4.425
    #[staticmethod]
    #[pyo3(signature = (*, floor_mm, top_mm, height_mm))]
    fn tapered(
        py: Python<'_>,
        floor_mm: (f64, f64),
        top_mm: (f64, f64),
        height_mm: Scalar<'_, Millimetre>,
    ) -> PyResult<Self> {
        let height = height_mm.number("height_mm")?;
        let metres = |mm: f64| Length::new::<meter>(mm / 1e3);
        let pair = |(x, y): (f64, f64)| (metres(x), metres(y));
        let recipe = Recipe::of("tapered").with(py, "floor_mm", floor_mm)?.with(py, "top_mm", top_mm)?;
        let recipe = recipe.with(py, "height_mm", height)?;
        let inner = CoreSump::tapered(pair(floor_mm), pair(top_mm), metres(height)).map_err(errors::to_py)?;
        Ok(Self { inner, recipe })
    }

    /// A sump with the shape of a closed triangle mesh.
    ///
    /// Parameters
    /// ----------
    /// vertices_mm : array of float, shape (n, 3)
    ///     Corners in the body frame [mm].
    /// faces : array of int, shape (m, 3)
    ///     Corner numbers of each triangle, counter-clockwise seen from outside.
    ///
    /// Returns
    /// -------
    /// Sump
    ///     Of the liquid space inside.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the mesh is open, inside out or otherwise no closed surface, with the place.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> corners = [(0, 0, 0), (100, 0, 0), (0, 100, 0), (0, 0, 100)]
    /// >>> wedge = fm.Sump.from_mesh(vertices_mm=corners, faces=[(0, 2, 1), (0, 1, 3), (0, 3, 2), (1, 2, 3)])
    /// >>> round(wedge.capacity_l, 9)
    /// 0.166666667
    #[staticmethod]
    #[pyo3(signature = (*, vertices_mm, faces))]
    fn from_mesh(py: Python<'_>, vertices_mm: Triples<'_>, faces: Triples<'_>) -> PyResult<Self> {
        let corners = vertices_mm.floats("vertices_mm")?;
        let triangles = faces.indices("faces")?;
        let recipe = Recipe::of("from_mesh").with(py, "vertices_mm", Table(corners.clone()))?;
        let recipe = recipe.with(py, "faces", Table(triangles.clone()))?;
        let inner = run_detached(py, move || {
            let metres = corners.into_iter().map(|v| v.map(|c| c / 1e3)).collect();
            ClosedMesh::try_new(metres, triangles).map(CoreSump::from_mesh)
        })?;
        Ok(Self { inner, recipe })
    }

    /// A sump drawn in an STL file, text or binary.
    ///
    /// Parameters
    /// ----------
    /// path : path-like
    ///     The file.
    /// unit : {"mm", "cm", "m", "in"}
    ///     Unit of its coordinates, which the format does not say.
    ///
    /// Returns
    /// -------
    /// Sump
    ///     Its pickle holds the file's bytes, so it needs no file.
    ///
    /// Raises
    /// ------
    /// FileError
    ///     If the file cannot be read.
    /// GeometryError
    ///     If the mesh is open, inside out or otherwise no closed surface, with the place.
    #[staticmethod]
    #[pyo3(signature = (path, *, unit = "mm"))]
    fn from_stl(py: Python<'_>, path: FilePath, unit: &str) -> PyResult<Self> {
        read_unit(unit)?;
        let FilePath(path) = path;
        let bytes = std::fs::read(&path).map_err(|e| errors::file(&path.display().to_string(), &e))?;
        Self::from_stl_bytes(py, bytes, unit)
    }

    /// A sump from the bytes of an STL file, text or binary.
    ///
    /// Parameters
    /// ----------
    /// data : bytes
    ///     What the file holds.
    /// unit : {"mm", "cm", "m", "in"}
    ///     Unit of its coordinates, which the format does not say.
    ///
    /// Returns
    /// -------
    /// Sump
    ///     With the vertices where the file has them.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the mesh is open, inside out or otherwise no closed surface, with the place.
    #[staticmethod]
    #[pyo3(signature = (data, *, unit = "mm"))]
    fn from_stl_bytes(py: Python<'_>, data: Vec<u8>, unit: &str) -> PyResult<Self> {
        let length_unit = read_unit(unit)?;
        let recipe = Recipe::of("from_stl_bytes").with(py, "data", PyBytes::new(py, &data))?.with(py, "unit", unit)?;
        let inner = run_detached(py, move || CoreSump::from_stl_bytes(&data, length_unit))?;
        Ok(Self { inner, recipe })
    }

    /// A sump known by a strapping table, straight between its rows.
    ///
    /// It serves level ground only; with the centroid of its free surface, tilts up to 10 deg between *up* and the body's z
    /// axis (judgement).
    ///
    /// Off level the free surface is then taken as the plane normal to *up* through the centroid at the table's level for the
    /// volume, level 0 of the table being the body's z = 0. That is right to first order in the tilt, and exact between upright
    /// walls while the surface meets neither floor nor lid, of which a table knows nothing. Between leaning walls it is
    /// ``tan(t)^2 / 2 * dI/dz`` of volume off, t the tilt and I the second moment of the free surface about the axis of the tilt: for the
    /// drawn sump of the demo 0.006 mm at 1 deg and 0.09 mm at 4 deg, but 5 mm where the tilted surface passes over its
    /// shelf. Levels are counted, along *up*, from the body point at the centroid of the first row and z = 0.
    ///
    /// Parameters
    /// ----------
    /// level_mm : array
    ///     Levels, rising [mm].
    /// volume_l : array
    ///     Volume at each level, rising [L].
    /// centroid_mm : array of float, shape (2,) or (n, 2)
    ///     Centroid of the free surface, x and y in the body frame [mm]: for all levels, or for each.
    ///
    /// Returns
    /// -------
    /// Sump
    ///     Between the first and the last row.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If there are fewer than two rows, a row does not rise, or there are more centroids than one but not one for each row.
    /// ValueError
    ///     If the two have different lengths, or `centroid_mm` another shape.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.from_table(level_mm=[0.0, 40.0, 90.0], volume_l=[0.0, 2.0, 6.0])
    /// >>> round(pan.volume_l(level_mm=65.0), 9)
    /// 4.0
    /// >>> pan = fm.Sump.from_table(level_mm=[0.0, 100.0], volume_l=[0.0, 6.0], centroid_mm=(40.0, 0.0))
    /// >>> up = fm.Attitude(nose_up_deg=5.0)
    /// >>> round(pan.depth_mm((-100.0, 0.0, 10.0), level_mm=pan.level_mm(volume_l=3.0, attitude=up), attitude=up), 3)
    /// 52.05
    #[staticmethod]
    #[pyo3(signature = (*, level_mm, volume_l, centroid_mm = None))]
    fn from_table(
        py: Python<'_>,
        level_mm: Values<'_, Millimetre>,
        volume_l: Values<'_, Litre>,
        centroid_mm: Option<Nested<'_, Millimetre>>,
    ) -> PyResult<Self> {
        let (levels, volumes) = (level_mm.read("level_mm")?.flat(), volume_l.read("volume_l")?.flat());
        if levels.len() != volumes.len() {
            let text = format!("level_mm has {} values, volume_l has {}", levels.len(), volumes.len());
            return Err(errors::quantity(text, "quantity.wrong_length"));
        }
        let row = |(z, v): (&f64, &f64)| (Length::new::<meter>(z / 1e3), Volume::new::<cubic_meter>(v / 1e3));
        let rows: Vec<_> = levels.iter().zip(&volumes).map(row).collect();
        let mut recipe = Recipe::of("from_table").with(py, "level_mm", PyTuple::new(py, levels)?)?.with(
            py,
            "volume_l",
            PyTuple::new(py, volumes)?,
        )?;
        let inner = match centroid_mm.map(|c| centroids(&c)).transpose()? {
            None => CoreSump::from_table(&rows),
            Some(points) => {
                recipe.add(py, "centroid_mm", centroid_argument(py, &points)?)?;
                CoreSump::from_table_with_centroid(&rows, &points.iter().map(|p| lengths(*p)).collect::<Vec<_>>())
            }
        };
        Ok(Self { inner: inner.map_err(errors::to_py)?, recipe })
    }

    /// A sump known by its marks alone: straight-sided, with the free surface that the span implies.
    ///
    /// It serves level ground only; with the centroid of its free surface, tilts up to 10 deg as in `from_table`.
    ///
    /// Parameters
    /// ----------
    /// span_l : quantity
    ///     Volume from MIN to MAX [L].
    /// span_mm : quantity
    ///     Height from MIN to MAX, along *up* [mm].
    /// at_max_l : quantity
    ///     Volume at MAX [L]; at least the span.
    /// capacity_l : quantity
    ///     Volume to the brim [L]; one span above MAX where it is not known (judgement).
    /// centroid_mm : array of float, shape (2,)
    ///     Centroid of the free surface, x and y in the body frame [mm].
    ///
    /// Returns
    /// -------
    /// Sump
    ///     Level 0 is where such a sump would be empty.
    ///
    /// Raises
    /// ------
    /// QuantityError
    ///     If a value is outside its range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.from_span(span_l=1.5, span_mm=25.0, at_max_l=6.0)
    /// >>> round(pan.level_mm(volume_l=6.0) - pan.level_mm(volume_l=4.5), 9)
    /// 25.0
    #[staticmethod]
    #[pyo3(signature = (*, span_l, span_mm, at_max_l, capacity_l = None, centroid_mm = None))]
    fn from_span(
        py: Python<'_>,
        span_l: Scalar<'_, Litre>,
        span_mm: Scalar<'_, Millimetre>,
        at_max_l: Scalar<'_, Litre>,
        capacity_l: Option<Scalar<'_, Litre>>,
        centroid_mm: Option<Nested<'_, Millimetre>>,
    ) -> PyResult<Self> {
        let volume = span_l.number("span_l")?;
        let length = span_mm.number("span_mm")?;
        let at_max = at_max_l.number("at_max_l")?;
        let capacity = capacity_l.map(|c| c.number("capacity_l")).transpose()?;
        let litres = |v: f64| Volume::new::<cubic_meter>(v / 1e3);
        let span = Span {
            volume: litres(volume),
            length: Length::new::<meter>(length / 1e3),
            volume_at_max: litres(at_max),
            capacity: capacity.map(litres),
        };
        let mut recipe = Recipe::of("from_span")
            .with(py, "span_l", volume)?
            .with(py, "span_mm", length)?
            .with(py, "at_max_l", at_max)?;
        if let Some(capacity) = capacity {
            recipe = recipe.with(py, "capacity_l", capacity)?;
        }
        let inner = match centroid_mm.map(|c| centroids(&c)).transpose()?.as_deref() {
            None => CoreSump::from_span(span),
            Some([point]) => {
                recipe.add(py, "centroid_mm", (point[0], point[1]))?;
                CoreSump::from_span_with_centroid(span, lengths(*point))
            }
            Some(points) => {
                let text =
                    format!("centroid_mm has {} points; a span has one free surface, so one is wanted", points.len());
                return Err(errors::quantity(text, "quantity.wrong_length"));
            }
        };
        Ok(Self { inner: inner.map_err(errors::to_py)?, recipe })
    }

    /// Corners of the mesh in the body frame, shape (n, 3) [mm]; None for a sump known by a table or a span.
    #[getter]
    fn vertices_mm(&self) -> Option<Table<f64>> {
        self.inner.mesh().map(|mesh| Table(mesh.vertices().into_iter().map(|v| v.map(|c| c * 1e3)).collect()))
    }

    /// Corner numbers of each triangle, shape (m, 3); None for a sump known by a table or a span.
    #[getter]
    fn faces(&self) -> Option<Table<u32>> {
        self.inner.mesh().map(|mesh| Table(mesh.faces().to_vec()))
    }

    /// How many triangles the mesh has; None for a sump known by a table or a span.
    #[getter]
    fn face_count(&self) -> Option<usize> {
        self.inner.face_count()
    }

    /// Volume of the whole liquid space [L].
    #[getter]
    fn capacity_l(&self) -> f64 {
        shortest::<Litre>(self.inner.capacity_si())
    }
}

#[pymethods]
impl Sump {
    /// Volumes of the separate pools below one common level, largest first.
    ///
    /// Parameters
    /// ----------
    /// level_mm : quantity
    ///     Level above the lowest point at this attitude [mm], 0 to the height there.
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// ndarray
    ///     Volumes [L]; their sum is ``volume_l(level_mm=level_mm, attitude=attitude)``.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the level is outside the sump, or the sump has no plan form.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> pan.pools_l(level_mm=50.0).round(9)
    /// array([3.])
    #[pyo3(signature = (*, level_mm, attitude = None))]
    fn pools_l(
        slf: &Bound<'_, Self>,
        level_mm: Scalar<'_, Millimetre>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<Column> {
        basins::pools_l(slf, level_mm.si("level_mm")?, or_level(attitude)).map(Column)
    }

    /// All basins at an attitude: places where liquid can stand by itself.
    ///
    /// Components of the liquid space below a rising level make a merge tree; each of its branches is a basin. Tips of
    /// bodies that hang in liquid are none.
    ///
    /// Parameters
    /// ----------
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// Basins
    ///     Children before parents.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the sump has no plan form.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> print(pan.basins())
    ///   0  lowest (-150.0, -100.0, 0.0) mm      6.000 L  to the top
    #[pyo3(signature = (*, attitude = None))]
    fn basins(slf: &Bound<'_, Self>, attitude: Option<PyRef<'_, Attitude>>) -> PyResult<Basins> {
        Basins::new(slf, or_level(attitude))
    }

    /// The heel: what stays in a full sump when everything leaves that can, film aside.
    ///
    /// What is joined to a plug's rim at the height of its lowest point stays at that height; everything else stays at
    /// its sill on the way there. A suction tube draws air when the level is half a bore (judgement) above the highest point
    /// of its rim.
    ///
    /// Parameters
    /// ----------
    /// outlets : Plug or sequence of Plug or SuctionTube
    ///     What is open; at most 50 mm outside the liquid space.
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// float
    ///     Volume [L].
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If an outlet is too far outside, or the sump has no plan form.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=220.0, height_mm=100.0)
    /// >>> plug = fm.Plug(at_mm=(144.0, 0.0, 0.0), bore_mm=12.0)
    /// >>> round(pan.heel_l(plug, attitude=fm.Attitude(nose_up_deg=1.0)), 3)
    /// 0.159
    #[pyo3(signature = (outlets, *, attitude = None))]
    fn heel_l(slf: &Bound<'_, Self>, outlets: Outlets<'_>, attitude: Option<PyRef<'_, Attitude>>) -> PyResult<f64> {
        outlets::heel_l(slf, &outlets, or_level(attitude))
    }

    /// The heel over pitch and roll, to see which end should be up.
    ///
    /// Parameters
    /// ----------
    /// outlets : Plug or sequence of Plug or SuctionTube
    ///     As in `heel_l`.
    /// nose_up_deg, right_down_deg : quantity or array
    ///     Angles [deg]; every one of the first is taken with every one of the second.
    ///
    /// Returns
    /// -------
    /// HeelMap
    ///     With ``heel_l`` of shape (pitch, roll). Ctrl-C stops it.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If an outlet is too far outside, an angle is not between -90 and 90 deg, or the sump has no plan form.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=220.0, height_mm=100.0)
    /// >>> plug = fm.Plug(at_mm=(144.0, 0.0, 0.0), bore_mm=12.0)
    /// >>> pan.heel_map(plug, nose_up_deg=[-1.0, 1.0], right_down_deg=0.0).heel_l.round(3)
    /// array([[0.   ],
    ///        [0.159]])
    #[pyo3(signature = (outlets, *, nose_up_deg, right_down_deg))]
    fn heel_map(
        slf: &Bound<'_, Self>,
        outlets: Outlets<'_>,
        nose_up_deg: Values<'_, Degree>,
        right_down_deg: Values<'_, Degree>,
    ) -> PyResult<HeelMap> {
        HeelMap::new(slf, &outlets, &nose_up_deg, &right_down_deg)
    }

    /// Spaces that stay filled with air as liquid rises everywhere, largest first.
    ///
    /// A space is cut off when liquid passes the way to its neighbours, or the highest vent in it.
    ///
    /// Parameters
    /// ----------
    /// vents_mm : array of float, shape (n, 3)
    ///     Where air can leave, body frame [mm]; at most 50 mm outside the liquid space. The top where not given: whatever is
    ///     highest when the body stands level.
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// list of AirLock
    ///     Empty when all air can leave.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If a vent is too far outside, or the sump has no plan form.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> pan.air_locks()
    /// []
    /// >>> lock = pan.air_locks(vents_mm=[(150.0, 0.0, 60.0)])[0]
    /// >>> round(lock.level_mm, 9), round(lock.volume_l, 9)
    /// (60.0, 2.4)
    #[pyo3(signature = (*, vents_mm = None, attitude = None))]
    fn air_locks(
        slf: &Bound<'_, Self>,
        vents_mm: Option<Triples<'_>>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<Vec<AirLock>> {
        basins::air_locks(slf, vents_mm.as_ref(), or_level(attitude))
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let call = self.recipe.repr(py, "Sump")?;
        Ok(match self.inner.face_count() {
            Some(faces) if faces > FEW_FACES => match call.strip_suffix('>') {
                Some(call) => format!("{call}{NOTE}{faces} faces>"),
                None => format!("{call}{NOTE}{faces} faces"),
            },
            _ => call,
        })
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce::<Self>(py)
    }
}

/// A repr says how many faces a sump has where these are more: boxes and steps have so few, curved walls more.
const FEW_FACES: usize = 32;

/// Points of the body's x and y \[mm\] from an array of shape (2,) or (n, 2).
fn centroids(given: &Nested<'_, Millimetre>) -> PyResult<Vec<[f64; 2]>> {
    let (shape, flat) = given.shaped("centroid_mm")?;
    if let [2] | [_, 2] = shape[..] {
        return Ok(flat.as_chunks::<2>().0.to_vec());
    }
    Err(errors::quantity(
        format!("centroid_mm has shape {shape:?}; it must be (2,) or (rows, 2)"),
        "quantity.wrong_shape",
    ))
}

/// The same as an argument: one point as a pair, several as a tuple of pairs.
pub(super) fn centroid_argument<'py>(py: Python<'py>, points: &[[f64; 2]]) -> PyResult<Bound<'py, PyAny>> {
    match points {
        [[x, y]] => (*x, *y).into_bound_py_any(py),
        points => Ok(PyTuple::new(py, points.iter().map(|[x, y]| (*x, *y)))?.into_any()),
    }
}

fn lengths([x, y]: [f64; 2]) -> (Length, Length) {
    (Length::new::<meter>(x / 1e3), Length::new::<meter>(y / 1e3))
}

/// The unit of length that a word names.
pub(super) fn read_unit(word: &str) -> PyResult<LengthUnit> {
    match word {
        "mm" => Ok(LengthUnit::Millimetre),
        "cm" => Ok(LengthUnit::Centimetre),
        "m" => Ok(LengthUnit::Metre),
        "in" => Ok(LengthUnit::Inch),
        other => Err(errors::quantity(
            format!("unit = {other:?}; accepted are \"mm\", \"cm\", \"m\" and \"in\""),
            "quantity.unknown_word",
        )),
    }
}
