//! Points of the sampler side by side against points one by one: the same bits.

use std::path::Path;

use crate::circuit::Circuit;
use crate::infer::explain::diagnose::{DiagnoseOptions, base, entries, extended};
use crate::infer::explain::posterior::posterior;
use crate::infer::explain::smc::{self, Replicate, SmcOptions};
use crate::infer::explain::{Record, bench::Bench, model::Model};
use crate::service::Parting;

const OPTIONS: SmcOptions<'_> = SmcOptions { particles: 44, replicates: 2, sweeps: 2, seed: 3, stop: None };

fn incident(number: usize) -> (Circuit, Record) {
    let name = format!("python/fillmark/demo/incidents/incident-{number:02}.toml");
    let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap();
    let record = Record::loads(&text).unwrap();
    (Circuit::demo(record.circuit.as_deref().unwrap()).unwrap(), record)
}

fn replicates(model: &Model, name: &str) -> (Vec<Replicate>, Parting) {
    let mut bench: Bench<'_> = model.bench().unwrap();
    let one = |r| smc::replicate(&mut bench, model.dimensions(), name, r, &OPTIONS).unwrap();
    ((0..OPTIONS.replicates).map(one).collect(), bench.parting)
}

/// Every cause of an incident both ways; how often points went side by side, and how often they parted.
fn both_ways(number: usize) -> Parting {
    let (circuit, record) = incident(number);
    let (entries, _) = entries(&circuit, &record, &DiagnoseOptions::default()).unwrap();
    let base = base(&circuit, &entries[0].draft, &extended(&entries[0].draft, &record).unwrap()).unwrap();
    let mut parting = Parting::default();
    for entry in &entries {
        let name = &entry.name;
        let [many, alone] = [true, false].map(|abreast| {
            let model = Model { abreast: abreast && entry.model.abreast, ..entry.model.clone() };
            let (runs, parting) = replicates(&model, name);
            let wide = extended(&entry.draft, &record).unwrap();
            let wide = Model { abreast: abreast && wide.abreast, ..wide };
            (format!("{:?}", posterior(&wide, &runs, name, base, &OPTIONS).unwrap()), runs, parting)
        });
        for (many, alone) in many.1.iter().zip(&alone.1) {
            assert_eq!(many.ln.to_bits(), alone.ln.to_bits(), "{name} of incident {number}");
            assert!(many.scores.iter().zip(&alone.scores).all(|(a, b)| a.to_bits() == b.to_bits()));
            assert_eq!((many.stages, many.scores.len()), (alone.stages, alone.scores.len()));
        }
        assert_eq!(many.0, alone.0, "{name} of incident {number}");
        assert_eq!(alone.2.tried, 0);
        parting = Parting { tried: parting.tried + many.2.tried, parted: parting.parted + many.2.parted };
    }
    parting
}

/// Written incidents of every circuit; 44 particles are five groups of eight and four that run alone.
#[test]
fn the_bits_of_points_one_by_one() {
    for number in [1, 5, 8, 11, 14, 17] {
        let Parting { tried, parted } = both_ways(number);
        assert!(tried > 100 && 2 * parted < tried, "incident {number}: {parted} of {tried} parted");
    }
}
