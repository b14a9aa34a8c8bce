//! Pickling and copying by value: an object is rebuilt by calling its public constructor.

use pyo3::PyTypeInfo;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// What `__reduce__` returns: the class or the class's method `method` is called again with `keywords`.
pub(super) fn reduce<'py, T: PyTypeInfo>(
    py: Python<'py>,
    method: &str,
    keywords: Bound<'py, PyDict>,
) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
    let rebuild = py.import("fillmark._rebuild")?.getattr("rebuild")?;
    let class = T::type_object(py).into_any();
    let method = pyo3::types::PyString::new(py, method).into_any();
    Ok((rebuild, PyTuple::new(py, [class, method, keywords.into_any()])?))
}

/// What `__reduce__` returns for the result of a function of the package: the function is called again.
pub(super) fn reduce_call<'py>(
    py: Python<'py>,
    function: &str,
    keywords: Bound<'py, PyDict>,
) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
    let call = py.import("fillmark._rebuild")?.getattr("call")?;
    let function = pyo3::types::PyString::new(py, function).into_any();
    Ok((call, PyTuple::new(py, [function, keywords.into_any()])?))
}

/// What `__reduce__` returns for a part of a result: the attribute of its owner, or the element of that attribute.
pub(super) fn reduce_part<'py>(
    py: Python<'py>,
    owner: &Bound<'py, PyAny>,
    attribute: &str,
    index: Option<usize>,
) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
    let part = py.import("fillmark._rebuild")?.getattr("part")?;
    Ok((part, (owner, attribute, index).into_pyobject(py)?))
}

/// What `__reduce__` returns for the result of a method: the method of its owner is called again.
pub(super) fn reduce_method<'py>(
    py: Python<'py>,
    owner: &Bound<'py, PyAny>,
    name: &str,
    keywords: Bound<'py, PyDict>,
) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
    let method = py.import("fillmark._rebuild")?.getattr("method")?;
    Ok((method, (owner, name, keywords).into_pyobject(py)?))
}
