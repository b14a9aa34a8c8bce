//! The fast response of every demo circuit's stick, against the direct sum over the triangles at points that its
//! building never saw.
#![allow(clippy::unwrap_used, clippy::print_stdout)] // a failed helper is a failed test; the figures are for readers

use std::time::Instant;

use fillmark::circuit::{Circuit, demos};
use fillmark::geometry::{Attitude, Domain, Point, Response, ResponseOptions};
use fillmark::uom::si::f64::Volume;
use fillmark::uom::si::volume::cubic_meter;

/// Pitch and roll of the domain either way \[deg\].
const TILT: f64 = 4.0;
/// Largest accepted error \[mm\].
const TOLERANCE_MM: f64 = 0.02;

/// The tip, and the volumes half a span under MIN and over MAX on level ground.
fn tip_and_volumes(circuit: &Circuit) -> (Point, (Volume, Volume)) {
    let stick = &circuit.spec().dipstick;
    let (tip, next) = (stick.path_mm[0], stick.path_mm[1]);
    let length = (0..3).map(|k| (next[k] - tip[k]).powi(2)).sum::<f64>().sqrt();
    let volume = |along: f64| {
        let point = Point::from_mm([0, 1, 2].map(|k| tip[k] + (next[k] - tip[k]) * along / length)).unwrap();
        let level = circuit.sump().level_of_point(point, Attitude::LEVEL).unwrap();
        circuit.sump().volume(level, Attitude::LEVEL).unwrap().get::<cubic_meter>()
    };
    let (min, max) = (volume(stick.min.nominal() * 1e3), volume(stick.max.nominal() * 1e3));
    let half = (max - min) / 2.0;
    let high = (max + half).min(circuit.sump().capacity().get::<cubic_meter>());
    (Point::from_mm(tip).unwrap(), (Volume::new::<cubic_meter>(min - half), Volume::new::<cubic_meter>(high)))
}

/// Numbers in 0..1 that fill a cube evenly (additive recurrence with the powers of the plastic number's relative).
fn spread(i: u32, axis: i32) -> f64 {
    // Root of x^4 = x + 1 (Roberts, "The unreasonable effectiveness of quasirandom sequences", 2018).
    const ROOT: f64 = 1.220_744_084_605_76;
    (0.5 + f64::from(i) / ROOT.powi(axis + 1)).fract()
}

#[test]
fn every_demo_circuit_within_two_hundredths_of_a_millimetre() {
    for name in demos() {
        let circuit = Circuit::demo(name).unwrap();
        let (tip, volume) = tip_and_volumes(&circuit);
        let domain = Domain { volume, nose_up_deg: (-TILT, TILT), right_down_deg: (-TILT, TILT) };
        let began = Instant::now();
        let response = Response::build(circuit.sump(), tip, domain, ResponseOptions::default()).unwrap();
        println!("{name}: {:?} in {:?}", response.quality(), began.elapsed());
        let (low, high) = (volume.0.get::<cubic_meter>(), volume.1.get::<cubic_meter>());
        let (mut worst, mut fitted) = (0.0_f64, 0_u32);
        for i in 1..=300 {
            let volume_m3 = low + (high - low) * spread(i, 0);
            let [p, r] = [1, 2].map(|axis| TILT * (2.0 * spread(i, axis) - 1.0));
            let attitude = Attitude::from_degrees(p, r).unwrap();
            // A surface that is off by dz holds dz times its area too much or too little.
            let surface = response.surface_si(volume_m3, attitude).unwrap();
            let lowest = circuit.sump().lowest_point(attitude).unwrap().to_mm();
            let level = surface - (0..3).map(|k| lowest[k] / 1e3 * attitude.up()[k]).sum::<f64>();
            let (held, area) = circuit.sump().direct_si(level, attitude).unwrap();
            worst = worst.max((held - volume_m3).abs() / area[0] * 1e3);
            fitted += u32::from(response.is_fitted(Volume::new::<cubic_meter>(volume_m3), attitude));
        }
        assert!(worst <= TOLERANCE_MM, "{name}: {worst} mm off");
        assert!(response.quality().worst_error_mm <= TOLERANCE_MM);
        assert!(fitted >= 270, "{name}: only {fitted} of 300 were answered by a polynomial");
    }
}
