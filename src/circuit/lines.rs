//! On which line of its file a value stands that is out of range or does not fit the rest.

use super::load::Notation;
use super::{CircuitError, tree};
use crate::Error;
use crate::error::Coded;
use crate::fluid::FluidError;
use crate::geometry::GeometryError;
use crate::units::QuantityError;

/// The error with the line of what it is about, where it names something that the text states.
pub(super) fn with_line(text: &str, error: Error) -> Error {
    let line = place_of(&error).map_or(0, |path| tree::line_of_key(text, Notation::of(text), &path));
    match error {
        error if line == 0 => error,
        Error::Circuit(CircuitError::BadValue { path, message, .. }) => {
            CircuitError::BadValue { path, line, message }.into()
        }
        error => Error::AtLine { line, error: Box::new(error) },
    }
}

/// Path of what an error is about.
fn place_of(error: &Error) -> Option<String> {
    match error {
        Error::Quantity(e) | Error::Geometry(GeometryError::Quantity(e)) => of_quantity(e),
        Error::Fluid(FluidError::Quantity(e)) => of_quantity(e),
        Error::Fluid(_) => Some("fluid".into()),
        Error::Geometry(GeometryError::OutsideLiquid { what, .. }) => {
            let name = what.strip_prefix("plug `")?.strip_suffix('`')?;
            Some(format!("plugs.{name}.at_mm"))
        }
        // An attitude that such a sump does not serve is that of the marks.
        Error::Geometry(
            GeometryError::TiltTooLarge { .. }
            | GeometryError::NeedsPlanForm { .. }
            | GeometryError::TiltBeyondTable { .. },
        ) => Some("reference.attitude".into()),
        Error::Geometry(_) => Some("sump".into()),
        Error::Circuit(e) => of_circuit(e),
        _ => None,
    }
}

fn of_quantity(error: &QuantityError) -> Option<String> {
    // A list has one line, whichever of its points is meant.
    let fields = error.fields();
    fields.get("what")?.as_str()?.split('[').next().map(Into::into)
}

fn of_circuit(error: &CircuitError) -> Option<String> {
    match error {
        CircuitError::BadValue { path, line: 0, .. } => Some(path.clone()),
        CircuitError::MarksInWrongOrder { stick, .. } => Some(format!("{stick}.max")),
        CircuitError::MarkOffBlade { mark, .. } | CircuitError::StickMissesSump { mark, .. }
            if mark == "MIN" || mark == "MAX" =>
        {
            Some(format!("dipstick.{}", mark.to_lowercase()))
        }
        CircuitError::BadPath { .. } | CircuitError::StickMissesSump { .. } => Some("dipstick.path_mm".into()),
        CircuitError::OutletMissesSump { what, .. } => Some(format!("{what}.at_mm")),
        // A sum is at its first and largest part.
        CircuitError::TooMuch { what, .. } => what.split(" + ").next().map(Into::into),
        CircuitError::BookContradicts { .. } => Some("book".into()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use crate::circuit::Circuit;

    const BOX: &str = r#"format = 1
name = "bench"
judgement = ["plugs"]
[sump.box]
length = "240 mm"
width = "150 mm"
height = "200 mm"
[dipstick]
path_mm = [[0, 0, 0], [0, 0, 200]]
min = "60 mm"
max = "100 mm"
[plugs.side]
at_mm = [100, 0, 0]
bore = "14 mm"
[fluid]
grade = "15W-40"
[reference]
wait = "15 min"
[filter]
net_volume = "0.4 L"
[sticks.o]
min = "50 mm"
max = "90 mm"
"#;

    fn refused(now: &str, then: &str) -> String {
        assert!(BOX.contains(now), "{now}");
        Circuit::loads(&BOX.replace(now, then), &|_| Err("no files".into())).unwrap_err().to_string()
    }

    /// Lines counted by hand in the text above.
    #[test]
    fn what_is_out_of_range_or_does_not_fit_has_a_line() {
        assert!(Circuit::loads(BOX, &|_| Err("no files".into())).is_ok());
        for (now, then, starts) in [
            ("\"240 mm\"", "\"-240 mm\"", "line 5: sump.box.length = -240 mm is outside"),
            ("max = \"100 mm\"", "max = \"10 mm\"", "line 11: dipstick: MAX at 10 mm must stand above"),
            ("max = \"90 mm\"", "max = \"10 mm\"", "line 23: sticks.o: MAX at 10 mm must stand above"),
            ("max = \"100 mm\"", "max = \"300 mm\"", "line 11: dipstick: MAX at 300 mm is not on the blade"),
            ("15W-40", "15Q-40", "line 15: "),
            ("15 min", "-15 min", "line 18: reference.wait = -900 s is outside"),
            ("format = 1", "format = 2", "line 1: format = 2 is not known; this version reads format = 1"),
            ("format = 1", "", "line 1: missing field `format`; this version reads format = 1"),
            ("net_volume = \"0.4 L\"", "", "line 19: filter: net_volume or can = "),
            ("[100, 0, 0]", "[900, 0, 0]", "line 13: the plug `side` at "),
            (
                "[\"plugs\"]",
                "[\"storres\"]",
                "line 3: judgement: no input is `storres` or begins with it; did you mean `stores`?",
            ),
            ("[\"plugs\"]", "[\"plugs.main\"]", "line 3: judgement: no input is `plugs.main` or begins with it"),
        ] {
            let message = refused(now, then);
            assert!(message.starts_with(starts), "{message}");
        }
    }

    /// As do errors of its shape. Lines counted by hand in the text above, whose sump begins in line 4.
    #[test]
    fn an_error_of_the_sump_or_the_attitude_has_a_line() {
        let shape = "[sump.box]\nlength = \"240 mm\"\nwidth = \"150 mm\"\nheight = \"200 mm\"";
        let falls = "[sump.table]\nlevel_mm = [0, 90, 80]\nvolume_l = [0, 3, 6]";
        let said = refused(shape, falls);
        assert!(said.starts_with("line 4: strapping table, row 2: level = 80 mm must be greater than 90 mm"), "{said}");
        let tilted = "wait = \"15 min\"\nattitude = { nose_up = \"95 deg\" }";
        let said = refused("wait = \"15 min\"", tilted);
        assert!(said.starts_with("line 19: ") && said.contains("95 deg must be greater than -90"), "{said}");
    }

    #[test]
    fn what_is_marked_as_judgement_may_be_absent_but_must_be_known() {
        for marked in ["cooling", "reference.attitude", "reference.wait", "plugs.side", "dipstick.smear", "fluid.kv40"]
        {
            let text = BOX.replace("[\"plugs\"]", &format!("[\"{marked}\"]"));
            assert!(Circuit::loads(&text, &|_| Err("no files".into())).is_ok(), "{marked}");
        }
    }
}
