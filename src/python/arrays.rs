//! Arrays at the boundary: a scalar in gives a float, an array in gives an array of the same shape.

use std::marker::PhantomData;
use std::sync::atomic::Ordering;

use numpy::{Element, IntoPyArray, PyArray1, PyArrayMethods, PyReadonlyArrayDyn};
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::sync::PyOnceLock;
use pyo3::types::PyDict;

use super::detach::{run_detached, run_interruptible};
use super::errors::{self, Failure};
use super::quantity::{magnitude, place, refused, shown, single};
use super::unit::Unit;
use crate::numeric::check;
use crate::numeric::share::share;

/// More elements than this are computed where Ctrl-C can stop them, looked for after each so many.
const LONG: usize = 256;
/// So many are computed in one go: enough to be worth a thread.
const PIECE: usize = 1 << 14;

/// One value or many, in the unit `U`.
pub(super) struct Values<'py, U> {
    object: Bound<'py, PyAny>,
    unit: PhantomData<U>,
}

impl<'py, U: Unit> FromPyObject<'_, 'py> for Values<'py, U> {
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const INPUT_TYPE: pyo3::inspect::PyStaticExpr = pyo3::type_hint_identifier!("fillmark._types", "Quantities");

    fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        Ok(Self { object: object.to_owned(), unit: PhantomData })
    }
}

impl<U: Unit> Values<'_, U> {
    /// The finite values, copied so that no other thread can write them; `name` is the argument's.
    pub(super) fn read(&self, name: &'static str) -> PyResult<Numbers<U>> {
        if let Some(value) = single::<U>(&self.object, name)? {
            check::finite(name, value).map_err(errors::to_py)?;
            return Ok(Numbers { name, shape: None, values: vec![value], unit: PhantomData });
        }
        let (shape, values) = self.many(name)?;
        check::all_finite(name, &values).map_err(errors::to_py)?;
        Ok(Numbers { name, shape: Some(shape), values, unit: PhantomData })
    }

    /// Shape and values of an array or of anything NumPy takes as one.
    fn many(&self, name: &str) -> PyResult<(Vec<usize>, Vec<f64>)> {
        let py = self.object.py();
        let inner = magnitude::<U>(&self.object, name)?.unwrap_or_else(|| self.object.clone());
        if inner.is_none() {
            return Err(refused::<U>(&self.object, name));
        }
        refuse_masked(&inner, name)?;
        let array = py.import("numpy")?.call_method1("asarray", (&inner,)).map_err(|cause| {
            let text = format!("{name} = {} is no array of numbers: {}", shown(&self.object), cause.value(py));
            errors::with_cause(py, errors::quantity(text, "quantity.no_numbers"), cause)
        })?;
        let kind: String = array.getattr("dtype")?.getattr("kind")?.extract()?;
        if !matches!(kind.as_str(), "i" | "u" | "f") {
            return Err(self.no_numbers(&array, &kind, name)?);
        }
        let array: PyReadonlyArrayDyn<'_, f64> = match array.extract() {
            Ok(floats) => floats,
            Err(_) => array.call_method1("astype", ("float64",))?.extract()?,
        };
        let view = array.as_array();
        let values = array.as_slice().map_or_else(|_| view.iter().copied().collect(), <[f64]>::to_vec);
        Ok((view.shape().to_vec(), values))
    }

    /// The error for an array of something else, or for what is no array.
    fn no_numbers(&self, array: &Bound<'_, PyAny>, kind: &str, name: &str) -> PyResult<PyErr> {
        if array.getattr("ndim")?.extract::<usize>()? == 0 {
            return Ok(refused::<U>(&self.object, name));
        }
        let (given, is) = (shown(&self.object), self.object.get_type().name()?.to_string());
        let holds = match kind {
            "U" | "S" => "text (only a single value may be text with a unit)".to_string(),
            "O" => "other things than numbers, or numbers too large".to_string(),
            _ => format!("values of type {}", array.getattr("dtype")?),
        };
        let wanted = format!("accepted are finite numbers ({})", U::SYMBOL);
        Ok(PyTypeError::new_err(format!("{name} = {given} is of type {is} and holds {holds}; {wanted}")))
    }
}

/// Refuses an array of NumPy of which something is masked: a number that is not to be used, where each is used.
pub(super) fn refuse_masked(object: &Bound<'_, PyAny>, name: &str) -> PyResult<()> {
    let masked_arrays = object.py().import("numpy.ma")?;
    if !object.is_instance(&masked_arrays.getattr("MaskedArray")?)? {
        return Ok(());
    }
    let mask = masked_arrays.call_method1("getmaskarray", (object,))?.call_method0("ravel")?;
    let mask: Vec<bool> = mask.call_method0("tolist")?.extract()?;
    let Some(first) = mask.iter().position(|masked| *masked) else { return Ok(()) };
    Err(errors::masked(name, first, mask.iter().filter(|masked| **masked).count()))
}

/// Finite numbers in the unit `U`, with the shape they came in (none for a scalar).
pub(super) struct Numbers<U> {
    name: &'static str,
    shape: Option<Vec<usize>>,
    values: Vec<f64>,
    unit: PhantomData<U>,
}

impl<U> Clone for Numbers<U> {
    fn clone(&self) -> Self {
        Self { name: self.name, shape: self.shape.clone(), values: self.values.clone(), unit: PhantomData }
    }
}

impl<U: Unit> Numbers<U> {
    /// The numbers in the unit `U`, in C order.
    pub(super) fn flat(self) -> Vec<f64> {
        self.values
    }

    /// Whether others came in the same shape.
    pub(super) fn is_shaped_as<V>(&self, other: &Numbers<V>) -> bool {
        self.shape == other.shape
    }

    /// The numbers as an array of NumPy, of no dimension for a scalar.
    pub(super) fn as_array<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        let shape = self.shape.clone().unwrap_or_default();
        Ok(self.values.clone().array(py)?.reshape(shape)?.into_any())
    }

    /// What `f` makes of all numbers at once, in the shape these came in.
    pub(super) fn replaced(self, f: impl FnOnce(Vec<f64>) -> PyResult<Vec<f64>>) -> PyResult<FloatOrArray> {
        Ok(FloatOrArray { values: f(self.values)?, shape: self.shape })
    }

    /// The same as a keyword of a recipe: a float, or nested lists.
    pub(super) fn as_keyword<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        let as_given = FloatOrArray { shape: self.shape.clone(), values: self.values.clone() }.into_pyobject(py)?;
        if self.shape.is_some() { as_given.call_method0("tolist") } else { Ok(as_given) }
    }

    /// Shape (empty for a scalar) and numbers in the unit `U`, in C order.
    pub(super) fn shaped(self) -> (Vec<usize>, Vec<f64>) {
        (self.shape.unwrap_or_default(), self.values)
    }

    /// Applies `f`, from SI to SI, to every value with the interpreter free; the result is in the unit `V`.
    ///
    /// An error says which element it came from. Long arrays can be interrupted
    /// and are shared between threads; the first element refused is the one told.
    pub(super) fn map<V, F, E>(self, py: Python<'_>, mut f: F) -> PyResult<FloatOrArray>
    where
        V: Unit,
        F: FnMut(f64) -> Result<f64, E> + Send + Clone,
        E: Into<crate::Error>,
    {
        let Self { name, shape, mut values, .. } = self;
        let of_array = shape.is_some();
        let one = move |f: &mut F, index: usize, value: &mut f64| match f(U::to_si(*value)) {
            Ok(si) => {
                *value = V::from_si(si);
                Ok(())
            }
            Err(e) => Err(Failure::at(e, of_array.then(|| place(name, index)))),
        };
        let values = if values.len() > LONG {
            run_interruptible(py, move |stop| {
                let pieces =
                    values.chunks_mut(PIECE).zip((0..).step_by(PIECE)).map(|(piece, first)| (piece, first, f.clone()));
                let done = share(pieces.collect(), |(piece, first, mut f): (&mut [f64], usize, F)| {
                    let parts = piece.chunks_mut(LONG).zip((first..).step_by(LONG));
                    let mut going = parts.take_while(|_| !stop.load(Ordering::Relaxed));
                    going.try_for_each(|(part, first)| {
                        (first..).zip(part).try_for_each(|(index, value)| one(&mut f, index, value))
                    })
                });
                done.into_iter().collect::<Result<(), Failure>>()?;
                Ok::<_, Failure>(values)
            })?
        } else {
            run_detached(py, move || {
                values.iter_mut().enumerate().try_for_each(|(index, value)| one(&mut f, index, value))?;
                Ok::<_, Failure>(values)
            })?
        };
        Ok(FloatOrArray { shape, values })
    }
}

/// A float, or an array of the argument's shape.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FloatOrArray {
    shape: Option<Vec<usize>>,
    values: Vec<f64>,
}

impl FloatOrArray {
    /// The sum with another of the same shape.
    pub(super) fn plus(mut self, other: &Self) -> Self {
        self.values.iter_mut().zip(&other.values).for_each(|(a, b)| *a += b);
        self
    }
}

impl<'py> IntoPyObject<'py> for FloatOrArray {
    type Target = PyAny;
    type Output = Bound<'py, PyAny>;
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const OUTPUT_TYPE: pyo3::inspect::PyStaticExpr = pyo3::type_hint_identifier!("fillmark._types", "FloatOrArray");

    fn into_pyobject(self, py: Python<'py>) -> PyResult<Self::Output> {
        match (self.shape, self.values.as_slice()) {
            (None, [value]) => Ok(value.into_pyobject(py)?.into_any()),
            (None, _) => Err(errors::internal("a scalar result without its value")),
            (Some(shape), _) => Ok(self.values.array(py)?.reshape(shape)?.into_any()),
        }
    }
}

/// Numbers in rows, rows of rows and so on, in the unit `U`.
pub(super) struct Nested<'py, U>(Values<'py, U>);

impl<'py, U: Unit> FromPyObject<'_, 'py> for Nested<'py, U> {
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const INPUT_TYPE: pyo3::inspect::PyStaticExpr = pyo3::type_hint_identifier!("numpy.typing", "ArrayLike");

    fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        Ok(Self(object.extract()?))
    }
}

impl<U: Unit> Nested<'_, U> {
    /// Shape and numbers, in C order, of an array of any dimensions.
    pub(super) fn shaped(&self, name: &'static str) -> PyResult<(Vec<usize>, Vec<f64>)> {
        Ok(self.0.read(name)?.shaped())
    }

    /// Shape and numbers, in C order, of an array with `N` dimensions; `shape` says in words what is wanted.
    pub(super) fn read<const N: usize>(&self, name: &'static str, wanted: &str) -> PyResult<([usize; N], Vec<f64>)> {
        let (shape, values) = self.shaped(name)?;
        match <[usize; N]>::try_from(shape) {
            Ok(shape) => Ok((shape, values)),
            Err(other) => Err(errors::quantity(
                format!("{name} has shape {other:?}; it must be {wanted}"),
                "quantity.wrong_shape",
            )),
        }
    }
}

/// Numbers that become a NumPy array.
pub(super) trait ToArray<T> {
    /// The array that takes the place of these numbers; whatever importing NumPy for it raises, Ctrl-C also.
    fn array(self, py: Python<'_>) -> PyResult<Bound<'_, PyArray1<T>>>;
}

impl<T: Element> ToArray<T> for Vec<T> {
    fn array(self, py: Python<'_>) -> PyResult<Bound<'_, PyArray1<T>>> {
        numpy_ready(py)?;
        Ok(self.into_pyarray(py))
    }
}

/// Imports NumPy where that has not been done. Its array functions import it too, but panic where that fails.
pub(super) fn numpy_ready(py: Python<'_>) -> PyResult<()> {
    static READY: PyOnceLock<()> = PyOnceLock::new();
    READY.get_or_try_init(py, || py.import("numpy").map(|_| ())).copied()
}

/// A one-dimensional array of floats.
pub(super) struct Column(pub(super) Vec<f64>);

impl<'py> IntoPyObject<'py> for Column {
    type Target = PyAny;
    type Output = Bound<'py, PyAny>;
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const OUTPUT_TYPE: pyo3::inspect::PyStaticExpr = pyo3::type_hint_identifier!("fillmark._types", "Column");

    fn into_pyobject(self, py: Python<'py>) -> PyResult<Self::Output> {
        Ok(self.0.array(py)?.into_any())
    }
}

/// A column of numbers: its name, and where the number of a row comes from.
pub(super) type Field<T> = (&'static str, fn(&T) -> f64);

/// A column of text; with its type, as an empty one would be taken for numbers.
pub(super) fn texts<'py>(py: Python<'py>, list: Vec<&str>) -> PyResult<Bound<'py, PyAny>> {
    py.import("numpy")?.call_method1("array", (list, "str"))
}

/// Adds a column for each field, with one element for each row.
pub(super) fn add_columns<T>(columns: &Bound<'_, PyDict>, rows: &[T], fields: &[Field<T>]) -> PyResult<()> {
    fields.iter().try_for_each(|(name, number)| columns.set_item(name, Column(rows.iter().map(number).collect())))
}

/// A two-dimensional array of floats, by its rows, columns and values in C order.
pub(super) struct Grid(pub(super) usize, pub(super) usize, pub(super) Vec<f64>);

impl<'py> IntoPyObject<'py> for Grid {
    type Target = PyAny;
    type Output = Bound<'py, PyAny>;
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const OUTPUT_TYPE: pyo3::inspect::PyStaticExpr = pyo3::type_hint_identifier!("fillmark._types", "Grid");

    fn into_pyobject(self, py: Python<'py>) -> PyResult<Self::Output> {
        Ok(self.2.array(py)?.reshape([self.0, self.1])?.into_any())
    }
}

/// An array of rows of three numbers.
pub(super) struct Triples<'py>(Bound<'py, PyAny>);

impl<'py> FromPyObject<'_, 'py> for Triples<'py> {
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const INPUT_TYPE: pyo3::inspect::PyStaticExpr = pyo3::type_hint_identifier!("numpy.typing", "ArrayLike");

    fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        Ok(Self(object.to_owned()))
    }
}

impl Triples<'_> {
    /// The rows as floats; `name` is the argument's.
    pub(super) fn floats(&self, name: &str) -> PyResult<Vec<[f64; 3]>> {
        let array = self.of_kinds(name, &["f", "i", "u"])?.call_method1("astype", ("float64",))?;
        let array: PyReadonlyArrayDyn<'_, f64> =
            array.extract().map_err(|e: PyErr| PyTypeError::new_err(e.to_string()))?;
        Ok(rows(array.as_array().iter().copied()))
    }

    /// The rows as indices, none negative; `name` is the argument's.
    pub(super) fn indices(&self, name: &str) -> PyResult<Vec<[u32; 3]>> {
        let array = self.of_kinds(name, &["i", "u"])?.call_method1("astype", ("int64",))?;
        let array: PyReadonlyArrayDyn<'_, i64> =
            array.extract().map_err(|e: PyErr| PyTypeError::new_err(e.to_string()))?;
        let wide = array.as_array();
        let Some(at) = wide.iter().position(|i| u32::try_from(*i).is_err()) else {
            return Ok(rows(wide.iter().map(|i| u32::try_from(*i).unwrap_or(u32::MAX))));
        };
        let value = wide.iter().nth(at).copied().unwrap_or_default();
        Err(errors::quantity(
            format!("{name}[{}] holds {value}, which is no corner number", at / 3),
            "quantity.no_corner",
        ))
    }

    /// The array, of shape (n, 3) and one of the kinds of number.
    fn of_kinds(&self, name: &str, kinds: &[&str]) -> PyResult<Bound<'_, PyAny>> {
        let py = self.0.py();
        let refuse = |found: String| {
            errors::quantity(format!("{name} must be an array of shape (n, 3): {found}"), "quantity.wrong_shape")
        };
        refuse_masked(&self.0, name)?;
        let array =
            py.import("numpy")?.call_method1("asarray", (&self.0,)).map_err(|e| refuse(e.value(py).to_string()))?;
        let shape: Vec<usize> = array.getattr("shape")?.extract()?;
        let kind: String = array.getattr("dtype")?.getattr("kind")?.extract()?;
        if shape.len() != 2 || shape[1] != 3 {
            return Err(refuse(format!("its shape is {shape:?}")));
        }
        if !kinds.contains(&kind.as_str()) {
            return Err(refuse(format!("its numbers are of type {}", array.getattr("dtype")?)));
        }
        Ok(array)
    }
}

fn rows<T: Copy>(flat: impl Iterator<Item = T>) -> Vec<[T; 3]> {
    let flat: Vec<T> = flat.collect();
    flat.chunks_exact(3).map(|row| [row[0], row[1], row[2]]).collect()
}

/// An array of rows of three numbers, for Python.
pub(super) struct Table<T>(pub(super) Vec<[T; 3]>);

impl<'py, T: numpy::Element + Copy> IntoPyObject<'py> for Table<T> {
    type Target = PyAny;
    type Output = Bound<'py, PyAny>;
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const OUTPUT_TYPE: pyo3::inspect::PyStaticExpr = pyo3::type_hint_identifier!("fillmark._types", "Table");

    fn into_pyobject(self, py: Python<'py>) -> PyResult<Self::Output> {
        let rows = self.0.len();
        let flat: Vec<T> = self.0.into_iter().flatten().collect();
        Ok(flat.array(py)?.reshape([rows, 3])?.into_any())
    }
}
