//! Could such a circuit stand at MAX and run? Where its parts are against the sump, and volumes against what the sump holds
//! at MAX.

use super::check::fits_in;
use super::spec::{CircuitSpec, PlugSpec};
use super::{CircuitError, Layout, StickPath};
use crate::Error;
use crate::fluid::OilModel;
use crate::geometry::{Attitude, GeometryError, Sump, WALL};
use crate::numeric::check;

/// So far outside the drawn liquid space a stick's tip or a pickup may lie: walls are drawn in facets and measured by tape
/// (judgement) \[m\].
const TOUCH: f64 = 1e-3;
/// No coordinate of a part is farther from the body's origin than the largest sump is long \[mm\].
const FARTHEST_MM: f64 = 20e3;

/// Points of the body: finite, and no farther off than a sump is long.
pub(super) fn coordinates(spec: &CircuitSpec) -> Result<(), Error> {
    for (i, point) in spec.dipstick.path_mm.iter().enumerate() {
        near(&format!("dipstick.path_mm[{i}]"), point)?;
    }
    for (name, plug) in &spec.plugs {
        near(&format!("plugs.{name}.at_mm"), &plug.at_mm)?;
        check::all_finite(&format!("plugs.{name}.axis"), &plug.axis)?;
    }
    if let Some(pickup) = &spec.pickup {
        near("pickup.at_mm", &pickup.at_mm)?;
    }
    let Some(crank) = &spec.crank else { return Ok(()) };
    if crank.path_mm.is_empty() {
        let message = "no point given; one or more are needed, such as [[-120, 0, 60], [120, 0, 60]]".to_string();
        return Err(CircuitError::BadValue { path: "crank.path_mm".into(), line: 0, message }.into());
    }
    let mut points = crank.path_mm.iter().enumerate();
    points.try_for_each(|(i, point)| near(&format!("crank.path_mm[{i}]"), point))
}

fn near(path: &str, point: &[f64; 3]) -> Result<(), Error> {
    check::all_finite(path, point)?;
    for (axis, c) in ["x", "y", "z"].into_iter().zip(point) {
        check::in_range(&format!("{path}.{axis}"), *c, -FARTHEST_MM, FARTHEST_MM, "mm")?;
    }
    Ok(())
}

/// Stick, plugs and pickup are at the sump.
pub(super) fn places(spec: &CircuitSpec, sump: &Sump, stick: &StickPath, attitude: Attitude) -> Result<(), Error> {
    let tip = stick.point_at(0.0);
    if sump.outside_si(tip, attitude)? > TOUCH {
        return Err(stick_misses("the tip", tip, sump, attitude)?.into());
    }
    for (name, plug) in &spec.plugs {
        plug_at_wall(name, plug, sump)?;
    }
    let Some(pickup) = &spec.pickup else { return Ok(()) };
    let at = pickup.at_mm.map(|c| c * 1e-3);
    if sump.outside_si(at, attitude)? > TOUCH {
        let [low_mm, high_mm] = corners(sump, attitude)?;
        return Err(
            CircuitError::OutletMissesSump { what: "pickup".into(), at_mm: pickup.at_mm, low_mm, high_mm }.into()
        );
    }
    Ok(())
}

/// A plug is at the wall of the sump; where its heel is not stated, the sump must be one that tells it.
fn plug_at_wall(name: &str, plug: &PlugSpec, sump: &Sump) -> Result<(), Error> {
    let bore = plug.plug()?;
    if plug.heel.is_none() {
        if sump.mesh().is_none() {
            let message = "a sump without plan form says no heel; state it, such as heel = \"0.30(10) L\"".to_string();
            return Err(CircuitError::BadValue { path: format!("plugs.{name}.heel"), line: 0, message }.into());
        }
        sump.heel(&[bore], Attitude::LEVEL).map_err(|e| match e {
            GeometryError::OutsideLiquid { point_mm, distance_mm, limit_mm, .. } => {
                GeometryError::OutsideLiquid { what: format!("plug `{name}`"), point_mm, distance_mm, limit_mm }
            }
            other => other,
        })?;
        return Ok(());
    }
    let distance = sump.outside_si(bore.at().si(), Attitude::LEVEL)?;
    if distance <= WALL {
        return Ok(());
    }
    let (distance_mm, limit_mm) = (distance * 1e3, WALL * 1e3);
    let what = format!("plug `{name}`");
    Err(GeometryError::OutsideLiquid { what, point_mm: plug.at_mm, distance_mm, limit_mm }.into())
}

/// The error for a point of the stick that is not in the sump.
pub(super) fn stick_misses(
    mark: &str,
    at: [f64; 3],
    sump: &Sump,
    attitude: Attitude,
) -> Result<CircuitError, GeometryError> {
    let [low_mm, high_mm] = corners(sump, attitude)?;
    Ok(CircuitError::StickMissesSump { mark: mark.into(), at_mm: at.map(super::check::millimetres), low_mm, high_mm })
}

/// Lower and upper corner of the liquid space (mm), as far as the sump knows them.
fn corners(sump: &Sump, attitude: Attitude) -> Result<[[f64; 3]; 2], GeometryError> {
    Ok(match sump.bounds() {
        Some(bounds) => [bounds.low.to_mm(), bounds.high.to_mm()],
        None => [[0.0; 3], [0.0, 0.0, sump.curve(attitude)?.height_si() * 1e3]],
    })
}

/// What the sump holds at MAX at nominal values, with what that is reckoned from.
pub(super) struct AtMax {
    /// At the reference temperature and attitude \[m3\].
    volume: f64,
    /// What the stores are sized by \[m3\].
    charge: f64,
    /// Kinematic viscosity at the reference temperature \[m2/s\].
    nu: f64,
}

impl AtMax {
    pub(super) fn new(
        (sump, stick, attitude): (&Sump, &StickPath, Attitude),
        (layout, nominals): (&Layout, &[f64]),
        oil: &OilModel,
        charge: f64,
    ) -> Result<Self, GeometryError> {
        let curve = sump.curve(attitude)?;
        let temperature = nominals[layout.reference_temperature];
        let height = stick.heights(attitude.up()).height_at(nominals[layout.stick.max]) - nominals[layout.datum];
        let drawn = curve.volume_at(height - curve.datum_si());
        Ok(Self { volume: layout.volume_scale_at(nominals, temperature) * drawn, charge, nu: oil.nu(temperature) })
    }

    /// Some plug leaves less than MAX, and what the stores take up in a run is there to be taken. A higher plug beside a
    /// lower one may be a level plug above MAX.
    pub(super) fn suffices(&self, spec: &CircuitSpec) -> Result<(), CircuitError> {
        let heels: Vec<_> = spec.plugs.iter().filter_map(|(n, p)| Some((n, p.heel.as_ref()?.nominal()))).collect();
        let lowest = heels.iter().min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((name, heel)) = lowest.filter(|_| heels.len() == spec.plugs.len()) {
            fits_in(&format!("plugs.{name}.heel"), *heel, "the sump's volume at MAX", self.volume)?;
        }
        self.hold_up(spec)
    }

    /// A run leaves something in the sump of a circuit at MAX: no more is taken up than the sump holds then, and what is still
    /// aloft after the reference wait.
    fn hold_up(&self, spec: &CircuitSpec) -> Result<(), CircuitError> {
        let wait = spec.reference.waited().nominal();
        let (mut taken, mut there, mut names) = (0.0, self.volume, Vec::new());
        for (name, store) in &spec.stores {
            let values = store.values(self.charge);
            let running = values.running.nominal();
            taken += running;
            there += values.aloft(wait, self.nu);
            if running > 0.0 {
                names.push((running, format!("stores.{name}.running")));
            }
        }
        names.sort_by(|a, b| b.0.total_cmp(&a.0));
        let what: Vec<String> = names.into_iter().map(|(_, name)| name).collect();
        fits_in(&what.join(" + "), taken, "what a circuit at MAX has for a run to take up", there)
    }
}

#[cfg(test)]
mod tests {
    use crate::circuit::Circuit;

    const BOX: &str = r#"format = 1
name = "bench"
[sump.box]
length = "300 mm"
width = "200 mm"
height = "100 mm"
[dipstick]
path_mm = [[0, 0, 5], [0, 0, 105]]
min = "30 mm"
max = "50 mm"
[plugs.main]
at_mm = [100, 0, 0]
bore = "12 mm"
heel = "0.2 L"
[stores.head]
running = "0.3 L"
[stores.cooler]
running = "0.2 L"
[pickup]
at_mm = [0, 0, 10]
[crank]
path_mm = [[0, 0, 90]]
[fluid]
grade = "15W-40"
"#;

    fn read(changes: &[(&str, &str)]) -> Result<Circuit, crate::Error> {
        let mut text = BOX.to_string();
        for (now, then) in changes {
            assert!(text.matches(now).count() == 1, "{now}");
            text = text.replace(now, then);
        }
        Circuit::loads(&text, &|_| Err("no files".into()))
    }

    fn refused(now: &str, then: &str) -> (String, String) {
        let error = read(&[(now, then)]).unwrap_err();
        (error.code(), error.to_string())
    }

    /// 300 mm × 200 mm × 55 mm is 3.3 L at MAX. Lines counted by hand.
    #[test]
    fn what_cannot_be_is_refused_with_its_line() {
        assert!(read(&[]).is_ok());
        for (now, then, code, message) in [
            (
                "\"0.2 L\"\n[stores.head]",
                "\"3.4 L\"\n[stores.head]",
                "circuit.too_much",
                "line 14: plugs.main.heel = 3.4 L is more than the sump's volume at MAX = 3.3 L",
            ),
            (
                "\"0.3 L\"",
                "\"20 L\"",
                "circuit.too_much",
                "line 16: stores.head.running + stores.cooler.running = 20.2 L is more than what a circuit at MAX has for a run to take up = ",
            ),
            (
                "[[0, 0, 5], [0, 0, 105]]",
                "[[0, 0, -2], [0, 0, 98]]",
                "circuit.stick_misses_sump",
                "line 8: dipstick: the stick misses the sump: the tip stands at (0, 0, -2) mm, outside the liquid space x -150..150, y -100..100, z 0..100 mm",
            ),
            (
                "[[0, 0, 5], [0, 0, 105]]",
                "[[0, 0, nan], [0, 0, 105]]",
                "quantity.not_finite",
                "line 8: dipstick.path_mm[0] must be finite: element 2 is NaN",
            ),
            (
                "[[0, 0, 5], [0, 0, 105]]",
                "[[0, 0, 5], [0, 0, 1e300]]",
                "quantity.out_of_range",
                "line 8: dipstick.path_mm[1].z = 1e300 mm is outside -20000 to 20000 mm",
            ),
            (
                "[100, 0, 0]",
                "[900, 0, 0]",
                "geometry.outside_liquid",
                "line 12: the plug `main` at (900.000, 0.000, 0.000) mm is 750.0 mm outside",
            ),
            (
                "[100, 0, 0]",
                "[100, inf, 0]",
                "quantity.not_finite",
                "line 12: plugs.main.at_mm must be finite: element 1 is inf",
            ),
            (
                "[0, 0, 10]",
                "[0, 0, -10]",
                "circuit.outlet_misses_sump",
                "line 20: pickup at (0, 0, -10) mm misses the sump, whose liquid space is x -150..150, y -100..100, z 0..100 mm",
            ),
            (
                "[0, 0, 10]",
                "[nan, 0, 10]",
                "quantity.not_finite",
                "line 20: pickup.at_mm must be finite: element 0 is NaN",
            ),
            (
                "[[0, 0, 90]]",
                "[]",
                "circuit.bad_value",
                "line 22: crank.path_mm: no point given; one or more are needed",
            ),
            (
                "[[0, 0, 90]]",
                "[[0, 0, 90], [nan, 0, 90]]",
                "quantity.not_finite",
                "line 22: crank.path_mm[1] must be finite: element 0 is NaN",
            ),
        ] {
            let (found, said) = refused(now, then);
            assert_eq!(found, code, "{said}");
            assert!(said.starts_with(message), "{said}");
        }
    }

    /// A tip 0.5 mm into the floor is one that touches it; a plug above MAX beside a lower one is a level plug; stores that hold more
    /// than the sump at MAX can be, where the marks are read while all of it is still aloft.
    #[test]
    fn what_is_unusual_but_possible_is_accepted() {
        assert!(read(&[("[[0, 0, 5], [0, 0, 105]]", "[[0, 0, -0.5], [0, 0, 99.5]]")]).is_ok());
        let level = "[plugs.level]\nat_mm = [150, 0, 60]\nbore = \"12 mm\"\nheel = \"3.5 L\"\n[stores.head]";
        assert!(read(&[("[stores.head]", level)]).is_ok());
        let at_once = "[reference]\nwait = \"0 s\"\n[fluid]";
        assert!(read(&[("\"0.3 L\"", "\"20 L\""), ("[fluid]", at_once)]).is_ok());
        assert!(read(&[("\"0.3 L\"", "\"3.1 L\"")]).is_ok());
    }

    /// A table knows heights only.
    #[test]
    fn a_sump_without_plan_form_is_asked_for_heights() {
        let shape = "[sump.box]\nlength = \"300 mm\"\nwidth = \"200 mm\"\nheight = \"100 mm\"";
        let table = "[sump.table]\nlevel_mm = [0, 100]\nvolume_l = [0, 6]";
        assert!(read(&[(shape, table)]).is_ok());
        for (now, then, code) in [
            ("[[0, 0, 5], [0, 0, 105]]", "[[0, 0, -2], [0, 0, 98]]", "circuit.stick_misses_sump"),
            ("[100, 0, 0]", "[100, 0, -60]", "geometry.outside_liquid"),
            ("[0, 0, 10]", "[0, 0, 110]", "circuit.outlet_misses_sump"),
        ] {
            let error = read(&[(shape, table), (now, then)]).unwrap_err();
            assert_eq!(error.code(), code, "{error}");
        }
    }
}
