use approx::{assert_abs_diff_eq, assert_relative_eq};
use uom::si::area::square_meter;
use uom::si::f64::{Area, Time};
use uom::si::time::second;

use super::*;
use crate::error::Coded;
use crate::numeric::lanes::Eight;

const PI: f64 = std::f64::consts::PI;
/// The worked examples take g = 9.81; a time by Torricelli's law goes with 1/sqrt(g).
const G_981: f64 = 9.81;

fn plate(bore: f64, cd: f64) -> Outflow {
    let hole = Outflow::unchecked_si(bore, 0.0, Axis::Side, LossModel::ConstantCd { cd }, 1e-6, 1000.0);
    hole.with_low_head(LowHead::Ignore)
}

fn time(hole: &Outflow, vessel: &impl Vessel, from: f64, to: f64, g: f64) -> f64 {
    hole.time_si(vessel, from, to) * (STANDARD_GRAVITY / g).sqrt()
}

fn prism(area: f64) -> Prism {
    Prism::new(Area::new::<square_meter>(area))
}

/// Worked examples 6.16 to 6.19 of Choudhary and Om Prakash, Fluid Mechanics (inputs from open code of the examples,
/// results by the closed form).
#[test]
fn textbook_tanks() {
    let tank = prism(PI / 4.0 * 16.0);
    assert_abs_diff_eq!(time(&plate(0.5, 0.6), &tank, 5.0, 2.0, G_981), 39.5826, epsilon = 0.6e-4);
    assert_abs_diff_eq!(time(&plate(0.5, 0.6), &tank, 5.0, 0.0, G_981), 107.6947, epsilon = 0.6e-4);
    let tank = prism(PI / 4.0 * 1.44);
    assert_abs_diff_eq!(time(&plate(0.05, 0.6), &tank, 3.0, 0.0, G_981), 750.779, epsilon = 0.6e-3);
    let hole = plate((4.0 * 10e-4 / PI).sqrt(), 0.6);
    assert_abs_diff_eq!(time(&hole, &prism(3.2), 5.0, 2.5, G_981), 1577.152, epsilon = 0.6e-3);
    assert_abs_diff_eq!(time(&hole, &prism(3.2), 5.0, 0.0, G_981), 5384.734, epsilon = 0.6e-3);
}

/// A public thermal-hydraulics library's doctest, standard gravity: A = 2 m2, a = 5e-4 m2, Cd 0.61, 4 to 1 m.
#[test]
fn library_doctest() {
    let hole = plate((4.0 * 5e-4 / PI).sqrt(), 0.61);
    assert_relative_eq!(hole.time_si(&prism(2.0), 4.0, 1.0), 2961.3164311592627, max_relative = 1e-9);
}

/// Closed forms: a sphere (S. Chapra and R. Canale, Numerical Methods for Engineers, chapter 25), a horizontal cylinder
/// from full to empty, and a sump of 0.30 x 0.20 x 0.08 m.
#[test]
fn other_shapes() {
    let sphere = Shape::new(|h: f64| PI * h * (3.0 - h), vec![]);
    assert_relative_eq!(time(&plate(0.03, 0.55), &sphere, 2.75, 0.0, G_981), 7487.6725, max_relative = 1e-8);
    let cylinder = Shape::new(|h: f64| 4.0 * (h * (1.0 - h)).max(0.0).sqrt(), vec![]);
    assert_relative_eq!(time(&plate(0.02, 0.6), &cylinder, 1.0, 0.0, G_981), 3193.876417, max_relative = 1e-9);
    assert_relative_eq!(plate(0.012, 0.61).time_si(&prism(0.06), 0.08, 0.0), 111.08840, max_relative = 5e-8);
}

/// An examination page (4 ft tank, 5 in2 hole, 6 to 2 ft, g = 32.2 ft/s2, C = 1) prints 94 s from rounded steps; exact
/// is 93.378.
#[test]
fn examination_page() {
    let ft = 0.3048;
    let hole = plate((4.0 * 5.0 * 0.0254 * 0.0254 / PI).sqrt(), 1.0);
    let t = time(&hole, &prism(PI / 4.0 * (4.0 * ft) * (4.0 * ft)), 6.0 * ft, 2.0 * ft, 32.2 * ft);
    assert_abs_diff_eq!(t, 93.378, epsilon = 0.6e-3);
}

/// Y. Cengel and J. Cimbala, Fluid Mechanics, example 5-7: a siphon fills 4 L through 5 mm under 0.75 m: 53.1 s
/// (printed, from memory; computed 53.11).
#[test]
fn siphon() {
    let q = plate(0.005, 1.0).flow_si(0.75) * (G_981 / STANDARD_GRAVITY).sqrt();
    assert_abs_diff_eq!(0.004 / q, 53.11, epsilon = 0.006);
    assert_abs_diff_eq!(q * 1e3, 0.07532, epsilon = 0.6e-5);
}

/// Emptying a prism takes twice the time of the same volume under the first head (Encyclopaedia Britannica, 11th ed.,
/// "Hydraulics", section 53).
#[test]
fn twice_the_time() {
    for (area, head) in [(0.05, 0.08), (3.0, 2.0)] {
        let hole = plate(0.012, 0.61);
        let steady = area * head / hole.flow_si(head);
        assert_relative_eq!(hole.time_si(&prism(area), head, 0.0), 2.0 * steady, max_relative = 1e-9);
    }
}

fn boss(nu_mm2_s: f64) -> Outflow {
    Outflow::unchecked_si(0.012, 0.010, Axis::Down, LossModel::energy_balance(), nu_mm2_s * 1e-6, 870.0)
}

/// Calculated with g(h+L) = v2(1+K)/2 + 32 nu L v/d2: 4 L, 0.05 m2, 12 mm hole, 10 mm boss, K = 1.
#[test]
fn bulk_drain_of_an_engine() {
    for (nu, seconds) in [(14.0, 58.0), (65.0, 64.1), (163.0, 77.4), (544.0, 143.2)] {
        let hole = boss(nu).with_low_head(LowHead::Ignore);
        assert_relative_eq!(hole.time_si(&prism(0.05), 0.08, 0.0), seconds, max_relative = 1e-3);
    }
}

#[test]
fn energy_balance_solves_its_equation() {
    for nu in [1e-6, 1e-4, 1e-2] {
        let hole = Outflow::unchecked_si(0.012, 0.010, Axis::Down, LossModel::energy_balance(), nu, 870.0);
        let v = hole.bore_si(0.09) / (PI / 4.0 * 0.012 * 0.012);
        let sum = v * v + 32.0 * nu * 0.010 * v / (0.012 * 0.012);
        assert_relative_eq!(sum, STANDARD_GRAVITY * 0.09, max_relative = 1e-13);
    }
}

/// Thin oil without friction is Torricelli's law with Cd = 1/sqrt(1 + K).
#[test]
fn models_agree_where_they_must() {
    let hole = Outflow::unchecked_si(0.02, 0.0, Axis::Side, LossModel::EnergyBalance { entry_loss: 0.5 }, 1e-6, 870.0);
    let torricelli = hole.with_model(LossModel::ConstantCd { cd: coefficients::from_loss(0.5).unwrap() });
    assert_relative_eq!(hole.flow_si(0.3), torricelli.flow_si(0.3), max_relative = 1e-14);
    let tube = Outflow::unchecked_si(0.01, 0.02, Axis::Side, LossModel::ShortTube, 1.5e-5, 870.0);
    let ideal = (2.0 * STANDARD_GRAVITY * 0.3).sqrt();
    let cd = coefficients::short_tube(2.0, ideal * 0.01 / 1.5e-5).unwrap();
    assert_relative_eq!(tube.flow_si(0.3), cd * PI / 4.0 * 1e-4 * ideal, max_relative = 1e-13);
}

/// The rim takes over below about a bore of depth, the flow dies away as h^(3/2), and never rises as the head falls.
#[test]
fn a_weir_near_empty() {
    let hole = boss(14.0);
    assert_eq!(hole.regime_si(0.08), Regime::Gush);
    assert_eq!(hole.regime_si(0.004), Regime::Stream);
    assert_eq!(hole.regime_si(1e-4), Regime::Drip);
    assert_relative_eq!(hole.flow_si(0.004) / hole.flow_si(0.002), 2f64.powf(1.5), max_relative = 1e-12);
    let knee = (1..120).map(|i| f64::from(i) * 1e-4).find(|h| hole.regime_si(*h) == Regime::Gush).unwrap();
    assert!(knee > 0.25 * 0.012 && knee < 0.012, "{knee}");
    let flows: Vec<f64> = (0..800).map(|i| hole.flow_si(f64::from(i) * 1e-4)).collect();
    assert!(flows.windows(2).all(|w| w[1] >= w[0]));
}

#[test]
fn weir_lengthens_the_drain_and_ends_in_drops() {
    let pan = prism(0.05);
    let whole = boss(14.0).emptying_time(&pan, Length::new::<meter>(0.08)).unwrap().get::<second>();
    assert!(whole > 58.0, "{whole}");
    let end = boss(14.0).stream_end_si(0.08);
    assert_relative_eq!(boss(14.0).flow_si(end), 0.3e-6, max_relative = 1e-6);
    let never = boss(14.0).time_between(&pan, Length::new::<meter>(0.08), Length::new::<meter>(0.0)).unwrap_err();
    assert_eq!(never.code(), "fluid.never_empties");
    assert!(never.to_string().contains("drops"), "{never}");
}

/// A vent that is shut slows the drain, a narrow one less, a wide one not at all.
#[test]
fn vents() {
    let open = boss(65.0);
    let flow = |vent: Vent| open.with_vent(vent).unwrap().flow_si(0.08);
    let free = open.flow_si(0.08);
    let shut = flow(Vent::Shut);
    assert!(shut < 0.5 * free, "{shut} {free}");
    let narrow = flow(Vent::Restricted { area: 5e-6 });
    assert!(narrow > shut && narrow < free, "{narrow}");
    assert_relative_eq!(flow(Vent::Restricted { area: 1e-2 }), free, max_relative = 1e-6);
    // The narrow vent's own balance: what the air takes, the oil lacks.
    let lost = 0.5 * 1.2 * (narrow / (0.6 * 5e-6)).powi(2) / (870.0 * STANDARD_GRAVITY);
    assert_relative_eq!(open.bore_si(0.09 - lost), narrow, max_relative = 1e-9);
    assert_eq!(open.with_vent(Vent::Restricted { area: 0.0 }).unwrap_err().code(), "quantity.out_of_range");
}

#[test]
fn drain_curve_and_head_agree() {
    let (pan, hole, start) = (prism(0.05), boss(65.0), Length::new::<meter>(0.08));
    let rows = hole.drain_curve(&pan, start, 40).unwrap();
    assert_eq!(rows.len(), 41);
    let last = rows.last().unwrap();
    let whole = hole.emptying_time(&pan, start).unwrap();
    assert_relative_eq!(last.time.get::<second>(), whole.get::<second>(), max_relative = 1e-8);
    for row in &rows {
        let lost = 0.05 * (0.08 - row.head.get::<meter>());
        assert_abs_diff_eq!(row.volume_out.value, lost, epsilon = 1e-12);
        let head = hole.head_after(&pan, start, row.time).unwrap().get::<meter>();
        assert_abs_diff_eq!(head, row.head.get::<meter>(), epsilon = 1e-9);
    }
    let ages = hole.head_after(&pan, start, Time::new::<second>(1e6)).unwrap();
    assert_abs_diff_eq!(ages.get::<meter>(), last.head.get::<meter>(), epsilon = 1e-12);
}

/// A step in the area, given as a breakpoint, splits the integral exactly.
#[test]
fn breakpoints() {
    let hole = plate(0.012, 0.61);
    let stepped = Shape::new(|h: f64| if h < 0.03 { 0.02 } else { 0.06 }, vec![0.03]);
    let parts = hole.time_si(&prism(0.06), 0.08, 0.03) + hole.time_si(&prism(0.02), 0.03, 0.0);
    assert_relative_eq!(hole.time_si(&stepped, 0.08, 0.0), parts, max_relative = 1e-12);
}

/// Viscosities side by side and each alone, with and without a change of law between the heads.
#[test]
fn side_by_side_the_bits_of_each_alone() {
    let vessel = Shape::new(|h: f64| if h < 0.03 { 0.02 } else { 0.06 + h * h }, vec![0.03, 0.05]);
    let side = |nu| Outflow { axis: Axis::Side, ..boss(nu) };
    let shut = |nu| boss(nu).with_vent(Vent::Shut).unwrap();
    let narrow = |nu| boss(nu).with_vent(Vent::Restricted { area: 5e-6 }).unwrap();
    let tube = |nu| boss(nu).with_model(LossModel::ShortTube);
    let plate = |nu| boss(nu).with_model(LossModel::ConstantCd { cd: 0.61 });
    let holes: [&dyn Fn(f64) -> Outflow; 6] = [&boss, &side, &shut, &narrow, &tube, &plate];
    let nus = Eight::from_lanes(|i| 3.0 * f64::from(1 << i));
    for (hole, [from, to]) in
        holes.iter().flat_map(|hole| [[0.08, 0.04], [0.04, 1e-4], [0.01, 0.01]].map(|h| (hole, h)))
    {
        let all = hole(1.0).time_of(&vessel, from, to, nus * 1e-6);
        for i in 0..Eight::COUNT {
            let alone = hole(nus.lane(i)).time_si(&vessel, from, to);
            assert_eq!(all.lane(i).to_bits(), alone.to_bits(), "viscosity {i} from {from} to {to}");
        }
    }
    let knees: Vec<bool> =
        (0..8).map(|i| boss(nus.lane(i)).knee_of(1e-4, 0.04, nus.lane(i) * 1e-6).is_some()).collect();
    assert!(knees.contains(&true), "{knees:?}");
}

#[test]
fn flags_and_uncertainty() {
    let head = Length::new::<meter>(0.08);
    let short = boss(65.0).with_model(LossModel::ShortTube).flow(head).unwrap();
    assert!(short.flags.iter().any(|f| matches!(f, Flag::LengthRatio { .. })), "{:?}", short.flags);
    let thick = boss(5000.0).with_model(LossModel::ShortTube).flow(head).unwrap();
    assert!(thick.flags.iter().any(|f| matches!(f, Flag::Reynolds { .. })));
    assert!(thick.relative_uncertainty > short.relative_uncertainty);
    let torricelli = boss(65.0).with_model(LossModel::ConstantCd { cd: 0.62 }).flow(head).unwrap();
    assert!(torricelli.flags.iter().any(|f| matches!(f, Flag::ViscosityIgnored { .. })));
    let long = Outflow::unchecked_si(0.012, 0.5, Axis::Down, LossModel::energy_balance(), 2e-6, 870.0);
    assert!(long.flow(head).unwrap().flags.iter().any(|f| matches!(f, Flag::TurbulentBore { .. })));
    let low = boss(65.0).flow(Length::new::<meter>(0.003)).unwrap();
    assert!(low.flags.contains(&Flag::Weir) && low.regime == Regime::Stream);
    let side = Outflow { axis: Axis::Side, ..boss(65.0) };
    assert!(side.flow(Length::new::<meter>(0.003)).unwrap().flags.contains(&Flag::PartlyCovered));
    let shut = boss(65.0).with_vent(Vent::Shut).unwrap().flow(head).unwrap();
    assert!(shut.flags.contains(&Flag::PoorVent));
    assert!(boss(65.0).flow(head).unwrap().flags.is_empty());
}

/// Thick oil is where the models part.
#[test]
fn models_differ_more_for_thick_oil() {
    let head = Length::new::<meter>(0.08);
    let (thin, thick) = (boss(5.0).between_models(head).unwrap(), boss(544.0).between_models(head).unwrap());
    assert!(thin < 0.1 && thick > 2.0 * thin, "{thin} {thick}");
    assert_eq!(boss(5.0).between_models(Length::new::<meter>(0.0)).unwrap_err().code(), "quantity.out_of_range");
}

#[test]
fn nonsense_is_refused() {
    let m = Length::new::<meter>;
    let make = |bore: f64, nu: f64, model: LossModel| {
        let nu = KinematicViscosity::new::<square_meter_per_second>(nu);
        let rho = MassDensity::new::<kilogram_per_cubic_meter>(870.0);
        Outflow::new(m(bore), m(0.01), Axis::Down, model, nu, rho)
    };
    assert_eq!(make(0.0, 1e-5, LossModel::ShortTube).unwrap_err().fields()["what"], "bore");
    assert_eq!(make(0.01, f64::NAN, LossModel::ShortTube).unwrap_err().code(), "quantity.not_finite");
    assert_eq!(make(0.01, 1e-5, LossModel::ConstantCd { cd: 1.2 }).unwrap_err().fields()["what"], "cd");
    let loss = LossModel::EnergyBalance { entry_loss: -1.0 };
    assert_eq!(make(0.01, 1e-5, loss).unwrap_err().fields()["what"], "entry_loss");
    let hole = make(0.01, 1e-5, LossModel::ShortTube).unwrap();
    assert_eq!(hole.flow(m(-0.01)).unwrap_err().fields()["what"], "head");
    assert_eq!(hole.time_between(&prism(0.1), m(0.1), m(0.2)).unwrap_err().fields()["what"], "to");
    assert_eq!(hole.drain_curve(&prism(0.1), m(0.1), 0).unwrap_err().fields()["what"], "steps");
}
