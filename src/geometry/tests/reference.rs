//! The CAD reference sumps: exact booleans on the B-rep solid (OpenCASCADE) against the tessellated mesh.
//! Source of the numbers: tests/data/README.md. Their tessellation error is up to 2e-5 of capacity, so 3e-5 here.

use serde_json::Value;

use super::super::Sump;
use super::support::{at, data, stepped_bus, twin_well};

const TOLERANCE: f64 = 3e-5;

fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap()
}

fn check(sump: &Sump, rows: &str) {
    let reference: Value = serde_json::from_slice(&data(rows)).unwrap();
    let capacity_l = number(&reference, "capacity_l");
    assert!((sump.capacity_si() * 1e3 - capacity_l).abs() < TOLERANCE * capacity_l);
    let rows = reference["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 54);
    for row in rows {
        let attitude = at(number(row, "nose_up_deg"), number(row, "right_down_deg"));
        let curve = sump.curve(attitude).unwrap();
        // The plane is given by its height in the body frame; the level above the lowest point follows.
        let level = number(row, "height_mm") / 1e3 - curve.datum_si();
        let got_l = curve.volume_si(level).unwrap() * 1e3;
        let miss = (got_l - number(row, "volume_l")).abs();
        assert!(miss < TOLERANCE * capacity_l, "{attitude}: {got_l} L against {row}");
        let pools = sump.pools_si(level, attitude).unwrap();
        let separate = row["separate_pools_l"].as_array().unwrap();
        assert_eq!(pools.len(), separate.len(), "{attitude}: {pools:?} m3 against {row}");
        for (got, want) in pools.iter().zip(separate) {
            assert!((got * 1e3 - want.as_f64().unwrap()).abs() < TOLERANCE * capacity_l, "{pools:?} m3 against {row}");
        }
        // The lowest point of the tessellated surface is not quite that of the smooth one.
        let stated = number(row, "level_above_lowest_mm") / 1e3;
        assert!((level - stated).abs() < 2e-5, "{attitude}: level {level} m against {stated} m");
    }
}

#[test]
fn stepped_bus_agrees_with_cad() {
    check(&stepped_bus(), "tests/data/stepped_bus.json");
}

#[test]
fn twin_well_agrees_with_cad() {
    check(&twin_well(), "tests/data/twin_well.json");
}
