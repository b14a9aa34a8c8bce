use approx::{assert_abs_diff_eq, assert_relative_eq};
use uom::si::angle::degree;
use uom::si::f64::{KinematicViscosity, MassDensity, ThermodynamicTemperature, Time};
use uom::si::kinematic_viscosity::square_millimeter_per_second;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::time::second;

use super::*;
use crate::error::Coded;
use crate::fluid::Fluid;

fn wall(length: f64, width: f64) -> WallFilm {
    WallFilm::unchecked_si(length, width, 1.0)
}

/// Jeffreys' film computed independently, g = 9.80665: 0.15 m high, 1 m wide; nu in mm2/s, seconds, thickness at the
/// lower edge and mean in um, volume in mL.
#[test]
fn vertical_wall() {
    for [nu, t, edge, mean, ml] in [
        [10.0, 60.0, 50.4904994, 33.6603330, 5.04904994],
        [10.0, 600.0, 15.9664978, 10.6443319, 1.59664978],
        [10.0, 3600.0, 6.51829545, 4.34553030, 0.651829545],
        [100.0, 60.0, 159.664978, 106.443319, 15.9664978],
        [100.0, 600.0, 50.4904994, 33.6603330, 5.04904994],
        [100.0, 3600.0, 20.6126601, 13.7417734, 2.06126601],
        [500.0, 60.0, 357.021745, 238.014497, 35.7021745],
        [500.0, 600.0, 112.900189, 75.2667926, 11.2900189],
        [500.0, 3600.0, 46.0913092, 30.7275394, 4.60913092],
    ] {
        let s = ReducedTime::default().after_si(t, nu * 1e-6);
        let w = wall(0.15, 1.0);
        assert_relative_eq!(w.thickness_si(0.15, s.si()) * 1e6, edge, max_relative = 4e-9);
        assert_relative_eq!(w.mean_thickness(s).get::<meter>() * 1e6, mean, max_relative = 4e-9);
        assert_relative_eq!(w.volume(s).get::<cubic_meter>() * 1e6, ml, max_relative = 4e-9);
    }
}

/// Volume goes with s^(-1/2), H^(3/2), W and (g sin beta)^(-1/2).
#[test]
fn scaling() {
    let v = wall(0.15, 1.0).volume_si(1e6);
    assert_relative_eq!(wall(0.15, 1.0).volume_si(4e6), 0.5 * v, max_relative = 1e-14);
    assert_relative_eq!(wall(0.60, 1.0).volume_si(1e6), 8.0 * v, max_relative = 1e-14);
    assert_relative_eq!(wall(0.15, 3.0).volume_si(1e6), 3.0 * v, max_relative = 1e-14);
    let sloped = WallFilm::unchecked_si(0.15, 1.0, 0.25);
    assert_relative_eq!(sloped.volume_si(1e6), 2.0 * v, max_relative = 1e-14);
}

/// Derjaguin's film at a speed z/t is Jeffreys' film.
#[test]
fn withdrawal_is_drainage() {
    let (nu, rho, z, t) = (1e-4, 870.0, 0.12, 45.0);
    let drained = wall(0.15, 1.0).thickness_si(z, t / nu);
    assert_relative_eq!(withdrawal::derjaguin(nu * rho, rho, z / t, 1.0), drained, max_relative = 1e-13);
}

/// Calculated: 2 m2 of wall, 0.3 m high; 14 and 127 mm2/s; 1, 5, 20, 60 min; mL.
#[test]
fn an_engine_of_film() {
    for (nu, rows) in [(14e-6, [113.0, 50.0, 25.0, 15.0]), (127e-6, [339.0, 152.0, 76.0, 44.0])] {
        for (minutes, ml) in [1.0, 5.0, 20.0, 60.0].into_iter().zip(rows) {
            let v = wall(0.3, 2.0 / 0.3).volume_si(60.0 * minutes / nu) * 1e6;
            assert_abs_diff_eq!(v, ml, epsilon = 0.5);
        }
    }
}

/// A film that holds 57 mL hot after 5 min and cools at once must thin to 51 mL by 20 min; with the cold viscosity in
/// place of reduced time it would have grown to 94 (calculated).
#[test]
fn cooling_does_not_grow_a_film() {
    let w = wall(0.3, 2.0 / 0.3);
    // The hot viscosity that leaves 57 mL, and the cold one that would show 94.
    let hot = 14e-6 * (57.0 / (w.volume_si(300.0 / 14e-6) * 1e6)).powi(2);
    let cold = hot * 4.0 * (94.0f64 / 57.0).powi(2);
    let s = ReducedTime::default().after_si(300.0, hot);
    assert_abs_diff_eq!(w.volume_si(s.si()) * 1e6, 57.0, epsilon = 1e-9);
    assert_abs_diff_eq!(w.volume_si(1200.0 / cold) * 1e6, 94.0, epsilon = 1e-9);
    assert_abs_diff_eq!(w.volume_si(s.after_si(900.0, cold).si()) * 1e6, 51.0, epsilon = 0.6);
}

#[test]
fn cooling_lies_between_hot_and_cold() {
    let t = ThermodynamicTemperature::new::<degree_celsius>;
    let nu = KinematicViscosity::new::<square_millimeter_per_second>;
    let seconds = Time::new::<second>;
    let oil = Fluid::oil(MassDensity::new::<kilogram_per_cubic_meter>(868.0), nu(95.0), nu(14.3)).unwrap();
    let after = |tau: f64| {
        ReducedTime::default().after_cooling(seconds(1200.0), &oil, t(90.0), t(20.0), seconds(tau)).unwrap().si()
    };
    let model = oil.model().unwrap();
    assert!(after(600.0) < 1200.0 / model.nu(90.0) && after(600.0) > 1200.0 / model.nu(20.0));
    // Cooling that never comes, and cooling at once.
    assert_relative_eq!(after(1e9), 1200.0 / model.nu(90.0), max_relative = 1e-5);
    assert_relative_eq!(after(1e-2), 1200.0 / model.nu(20.0), max_relative = 1e-3);
    // Two halves make the whole: the second starts at the temperature the first ended with.
    let first = ReducedTime::default().after_cooling_si(500.0, &model, 90.0, 20.0, 600.0);
    let both = first.after_cooling_si(700.0, &model, 20.0 + 70.0 * (-500.0f64 / 600.0).exp(), 20.0, 600.0);
    assert_relative_eq!(both.si(), after(600.0), max_relative = 1e-9);
}

/// A film that started 0.1 mm thick: nothing has drained at first, Jeffreys' law at last, and the volume never exceeds
/// either. The profile integrates to the volume.
#[test]
fn finite_start() {
    let w = wall(0.15, 1.0).starting_with(Length::new::<meter>(1e-4)).unwrap();
    assert_relative_eq!(w.volume_si(1e-6), 0.15e-4, max_relative = 1e-6);
    assert_relative_eq!(w.volume_si(1e9), wall(0.15, 1.0).volume_si(1e9), max_relative = 1e-12);
    let s = 5e5;
    let sum = crate::numeric::quadrature::integrate(|z| w.thickness_si(z, s), 0.0, 0.15, 1e-10);
    assert_relative_eq!(w.volume_si(s), sum, max_relative = 1e-8);
    // The thinning reaches z = g s h0^2 exactly.
    let reach = STANDARD_GRAVITY * s * 1e-8;
    assert!(reach < 0.15);
    assert_relative_eq!(w.thickness_si(reach, s), 1e-4, max_relative = 1e-12);
}

#[test]
fn nonsense_is_refused() {
    let m = Length::new::<meter>;
    let deg = Angle::new::<degree>;
    assert_eq!(WallFilm::new(m(-0.1), m(1.0), deg(90.0)).unwrap_err().code(), "quantity.out_of_range");
    assert_eq!(WallFilm::new(m(0.1), m(1.0), deg(0.0)).unwrap_err().fields()["what"], "slope");
    assert_eq!(wall(0.1, 1.0).starting_with(m(f64::NAN)).unwrap_err().code(), "quantity.not_finite");
    let nu = KinematicViscosity::new::<square_millimeter_per_second>(0.0);
    let e = ReducedTime::default().after(Time::new::<second>(1.0), nu).unwrap_err();
    assert_eq!(e.fields()["what"], "kinematic viscosity");
    let water = Fluid::new(crate::fluid::DensityLaw::Water);
    let t = ThermodynamicTemperature::new::<degree_celsius>(20.0);
    let one = Time::new::<second>(1.0);
    assert_eq!(ReducedTime::default().after_cooling(one, &water, t, t, one).unwrap_err().code(), "fluid.not_an_oil");
}
