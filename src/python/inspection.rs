//! The report on surfaces that are and are not sumps, for Python.

use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyTuple};

use super::arrays::{Table, Triples};
use super::detach::run_detached;
use super::errors;
use super::rebuild::reduce_part;
use super::recipe::Recipe;
use super::sump::{Sump, read_unit};
use super::text::FilePath;
use crate::geometry::{
    Finding as CoreFinding, Flaw, GeometryError, Inspection as CoreInspection, Shell as CoreShell, ShellKind, inspect,
    stl,
};

/// What was found in looking at a surface. Made by `Sump.inspect`, `inspect_mesh` and `inspect_stl`.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> corners = [(0, 0, 0), (100, 0, 0), (0, 100, 0), (0, 0, 100)]
/// >>> report = fm.inspect_mesh(vertices_mm=corners, faces=[(0, 2, 1), (0, 1, 3), (0, 3, 2)])
/// >>> report.usable
/// False
/// >>> print(report)
/// 3 faces, 4 vertices, 100.0 x 100.0 x 100.0 mm: not usable as a sump
///   open_edge, 3 times: close the hole: export the liquid space as a solid whose faces share corners
///     at (50.0, 50.0, 0.0) mm
///     at (50.0, 0.0, 50.0) mm
///     at (0.0, 50.0, 50.0) mm
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Inspection {
    inner: CoreInspection,
    recipe: Recipe,
    /// The function of the package that makes it, unless a sump does.
    function: Option<&'static str>,
}

impl PartialEq for Inspection {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl Inspection {
    /// Whether the surface can serve as a sump.
    #[getter]
    fn usable(&self) -> bool {
        self.inner.is_usable()
    }

    /// Number of triangles.
    #[getter]
    fn face_count(&self) -> usize {
        self.inner.faces
    }

    /// Number of corners.
    #[getter]
    fn vertex_count(&self) -> usize {
        self.inner.vertices
    }

    /// Sides of the bounding box along x, y and z [mm].
    #[getter]
    fn size_mm(&self) -> (f64, f64, f64) {
        self.inner.size_mm.into()
    }

    /// What was found, the most basic first.
    #[getter]
    fn findings(slf: &Bound<'_, Self>) -> Vec<Finding> {
        let every = slf.get().inner.findings.iter().enumerate();
        every.map(|(index, f)| Finding { inner: f.clone(), owner: slf.clone().unbind(), index }).collect()
    }

    /// The separate parts; empty while edges are open or faces unusable.
    #[getter]
    fn shells(slf: &Bound<'_, Self>) -> Vec<Shell> {
        let every = slf.get().inner.shells.iter().enumerate();
        every.map(|(index, s)| Shell { inner: s.clone(), owner: slf.clone().unbind(), index }).collect()
    }

    fn __str__(&self) -> String {
        let [x, y, z] = self.inner.size_mm;
        let verdict = if self.inner.is_usable() { "usable" } else { "not usable" };
        let (faces, vertices) = (self.inner.faces, self.inner.vertices);
        let mut lines =
            vec![format!("{faces} faces, {vertices} vertices, {x:.1} x {y:.1} x {z:.1} mm: {verdict} as a sump")];
        for finding in &self.inner.findings {
            lines.push(format!("  {}, {} times: {}", word(finding.flaw), finding.count, finding.advice));
            lines.extend(finding.places_mm.iter().map(|[x, y, z]| format!("    at ({x:.1}, {y:.1}, {z:.1}) mm")));
        }
        lines.join("\n")
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, self.function.unwrap_or_default())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        match self.function {
            Some(function) => self.recipe.reduce_call(py, function),
            None => self.recipe.reduce::<Self>(py),
        }
    }
}

/// One kind of flaw: how often, where, and what to do. Made by `Inspection.findings`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Finding {
    inner: CoreFinding,
    owner: Py<Inspection>,
    index: usize,
}

impl PartialEq for Finding {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl Finding {
    /// The kind, in one word such as ``open_edge`` or ``suspicious_unit``.
    #[getter]
    fn flaw(&self) -> &'static str {
        word(self.inner.flaw)
    }

    /// How often it occurs; for parts that touch at least this often.
    #[getter]
    fn count(&self) -> usize {
        self.inner.count
    }

    /// The first places, at most eight, body frame [mm].
    #[getter]
    fn places_mm(&self) -> Vec<(f64, f64, f64)> {
        self.inner.places_mm.iter().map(|p| (*p).into()).collect()
    }

    /// What to do about it.
    #[getter]
    fn advice(&self) -> &str {
        &self.inner.advice
    }

    /// Whether the surface cannot serve as a sump because of it.
    #[getter]
    fn fatal(&self) -> bool {
        self.inner.is_fatal()
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        Ok(format!("{}.findings[{}]", self.owner.bind(py).repr()?, self.index))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_part(py, self.owner.bind(py), "findings", Some(self.index))
    }
}

/// One separate part of a surface. Made by `Inspection.shells`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Shell {
    inner: CoreShell,
    owner: Py<Inspection>,
    index: usize,
}

impl PartialEq for Shell {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl Shell {
    /// What it is.
    ///
    /// ``"hull"`` (bounds liquid), ``"island"`` (another liquid space), ``"cavity"`` (a body inside liquid) or
    /// ``"inverted"`` (looks the wrong way for where it lies).
    #[getter]
    fn kind(&self) -> &'static str {
        match self.inner.kind {
            ShellKind::Hull => "hull",
            ShellKind::Island => "island",
            ShellKind::Cavity => "cavity",
            ShellKind::Inverted => "inverted",
        }
    }

    /// How many faces it has.
    #[getter]
    fn face_count(&self) -> usize {
        self.inner.faces
    }

    /// Its signed volume, negative when its faces look inwards [L].
    #[getter]
    fn volume_l(&self) -> f64 {
        self.inner.volume_l
    }

    /// How many other parts enclose it.
    #[getter]
    fn depth(&self) -> usize {
        self.inner.depth
    }

    /// Low and high corner of its bounding box [mm].
    #[getter]
    fn bounds_mm(&self) -> ((f64, f64, f64), (f64, f64, f64)) {
        (self.inner.low_mm.into(), self.inner.high_mm.into())
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        Ok(format!("{}.shells[{}]", self.owner.bind(py).repr()?, self.index))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_part(py, self.owner.bind(py), "shells", Some(self.index))
    }
}

fn word(flaw: Flaw) -> &'static str {
    match flaw {
        Flaw::VertexNotFinite => "vertex_not_finite",
        Flaw::MissingVertex => "missing_vertex",
        Flaw::RepeatedVertex => "repeated_vertex",
        Flaw::ZeroArea => "zero_area",
        Flaw::OpenEdge => "open_edge",
        Flaw::NonManifoldEdge => "non_manifold_edge",
        Flaw::OppositeFaces => "opposite_faces",
        Flaw::InvertedShell => "inverted_shell",
        Flaw::SeparateSpace => "separate_space",
        Flaw::ShellsTouch => "shells_touch",
        Flaw::SuspiciousSize => "suspicious_size",
        Flaw::SuspiciousUnit => "suspicious_unit",
    }
}

#[pymethods]
impl Sump {
    /// Looks at the sump's surface for everything that may not be meant: slivers, several spaces, an unlikely size.
    ///
    /// Returns
    /// -------
    /// Inspection
    ///     Without fatal findings, because a sump would not have been made; `inspect_mesh` and `inspect_stl` look at
    ///     surfaces that are refused.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the sump is known by a table or a span.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> pan.inspect().findings
    /// []
    /// >>> [shell.kind for shell in pan.inspect().shells]
    /// ['hull']
    fn inspect(slf: &Bound<'_, Self>) -> PyResult<Inspection> {
        let core = slf.get().inner.clone();
        let inner = run_detached(slf.py(), move || {
            let mesh = core.need_mesh()?;
            Ok::<_, GeometryError>(inspect(&mesh.vertices(), mesh.faces()))
        })?;
        Ok(Inspection { inner, recipe: Recipe::on(slf.as_any(), "inspect"), function: None })
    }
}

/// Looks at a triangle mesh for everything that keeps it from being a sump, with places and what to do.
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
/// Inspection
///     Open and non-manifold edges, inverted or zero-area faces, several shells, bodies that touch or cross, a
///     suspicious unit.
///
/// Raises
/// ------
/// ValueError
///     If an array has another shape.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> corners = [(0, 0, 0), (10, 0, 0), (0, 10, 0), (0, 0, 10)]
/// >>> report = fm.inspect_mesh(vertices_mm=corners, faces=[(0, 2, 1), (0, 1, 3), (0, 3, 2), (1, 2, 3)])
/// >>> report.usable, report.findings[0].flaw
/// (True, 'suspicious_unit')
/// >>> print(report.findings[0].advice)  # doctest: +NORMALIZE_WHITESPACE
/// check the unit, an STL carries none: the longest side is 0.0100 m; inches read as mm, it would be 0.2540 m;
/// centimetres read as mm, it would be 0.1000 m
#[pyfunction]
#[pyo3(signature = (*, vertices_mm, faces))]
pub(super) fn inspect_mesh(py: Python<'_>, vertices_mm: Triples<'_>, faces: Triples<'_>) -> PyResult<Inspection> {
    let (corners, triangles) = (vertices_mm.floats("vertices_mm")?, faces.indices("faces")?);
    let recipe = Recipe::of("").with(py, "vertices_mm", Table(corners.clone()))?;
    let recipe = recipe.with(py, "faces", Table(triangles.clone()))?;
    let inner = run_detached(py, move || {
        let metres: Vec<[f64; 3]> = corners.into_iter().map(|v| v.map(|c| c / 1e3)).collect();
        Ok::<_, GeometryError>(inspect(&metres, &triangles))
    })?;
    Ok(Inspection { inner, recipe, function: Some("inspect_mesh") })
}

/// Looks at an STL file, text or binary, for everything that keeps it from being a sump.
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
/// Inspection
///     As of `inspect_mesh`.
///
/// Raises
/// ------
/// FileError
///     If the file cannot be read.
/// GeometryError
///     If it is no STL file, with the byte or line.
#[pyfunction]
#[pyo3(signature = (path, *, unit = "mm"))]
pub(super) fn inspect_stl(py: Python<'_>, path: FilePath, unit: &str) -> PyResult<Inspection> {
    read_unit(unit)?;
    let FilePath(path) = path;
    let bytes = std::fs::read(&path).map_err(|e| errors::file(&path.display().to_string(), &e))?;
    inspect_stl_bytes(py, bytes, unit)
}

/// Looks at the bytes of an STL file, text or binary, for everything that keeps it from being a sump.
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
/// Inspection
///     As of `inspect_mesh`.
///
/// Raises
/// ------
/// GeometryError
///     If it is no STL file, with the byte or line.
#[pyfunction]
#[pyo3(signature = (data, *, unit = "mm"))]
pub(super) fn inspect_stl_bytes(py: Python<'_>, data: Vec<u8>, unit: &str) -> PyResult<Inspection> {
    let length_unit = read_unit(unit)?;
    let recipe = Recipe::of("").with(py, "data", PyBytes::new(py, &data))?.with(py, "unit", unit)?;
    let inner = run_detached(py, move || stl::inspect(&data, length_unit))?;
    Ok(Inspection { inner, recipe, function: Some("inspect_stl_bytes") })
}
