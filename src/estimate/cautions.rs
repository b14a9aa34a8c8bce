//! Cautions printed with every result that people act on (common practice, no source).

use crate::circuit::Circuit;
use crate::circuit::spec::{FuelSpec, StoreKind, SumpSpec};

/// Before anything is started.
pub(super) const MILKY: &str = "Do not start when the oil is milky or smells of fuel.";
/// Of a level over MAX.
pub(super) const OVERFULL: &str =
    "Add nothing, start nothing and move nothing to \"test\" an overfull engine: withdraw and weigh.";
/// Where a filter was changed.
const BEFORE_FIRST_RUN: &str =
    "A reading before the first run stands high by the filter's volume: take no oil out before it.";
/// Where one is fitted.
const PREFILL: &str = "Prefill a filter on the inlet side only, and only where the maker allows.";
/// Of a diesel over MAX.
const RUNAWAY: &str = "An overfilled diesel can run away on its own oil and the key may not stop it.";
/// The same where the circuit does not tell an engine from another machine: one lubricated by splash has no pump or filter either.
const RUNAWAY_IF_ENGINE: &str =
    "If this is a diesel engine: overfilled, it can run away on its own oil and the key may not stop it.";

/// Cautions for draining, filling and reading a circuit: those that its machine calls for.
///
/// What is said of a filter is left out where there is none, what is said of oil pressure where nothing is pumped, what is
/// said of a diesel where its fuel is another.
pub fn cautions_of(circuit: &Circuit) -> Vec<&'static str> {
    let filter = circuit.layout().filter.is_some();
    let runaway = runaway(circuit);
    [
        (true, "Hot oil burns. Engine off, brake on, wheels chocked; never rely on a jack alone."),
        (
            true,
            "Keep oil off skin and off hot exhaust; used oil and filters go to a licensed collector, never to ground or drain.",
        ),
        (filter, BEFORE_FIRST_RUN),
        (has_pressure(circuit), "If oil pressure does not come up within 15 s of starting, stop."),
        (true, MILKY),
        (runaway.is_some(), runaway.unwrap_or_default()),
        (filter, PREFILL),
        (
            true,
            "This is an estimate for teaching and analysis; the maker's instructions, local codes and a qualified technician decide.",
        ),
    ]
    .into_iter()
    .filter_map(|(applies, text)| applies.then_some(text))
    .collect()
}

/// Whether a pump feeds the machine: a filter, a pump, a pickup, a crank's path or a store that a pump fills is stated. A service sheet
/// without a drawing does not tell, and counts as if one did.
pub(super) fn has_pressure(circuit: &Circuit) -> bool {
    let spec = circuit.spec();
    let fed = spec.stores.values().any(|store| store.kind != Some(StoreKind::Crankcase));
    let told = spec.filter.is_some() || spec.pump.is_some() || spec.pickup.is_some() || spec.crank.is_some();
    told || fed || matches!(spec.sump, SumpSpec::Table { .. })
}

/// Those of [`cautions_of`] that go with a service: of a filter only where one is changed.
pub(super) fn cautions_of_service(circuit: &Circuit, changes_filter: bool) -> Vec<&'static str> {
    let of_filter = |caution: &&str| [BEFORE_FIRST_RUN, PREFILL].contains(caution);
    cautions_of(circuit).into_iter().filter(|caution| changes_filter || !of_filter(caution)).collect()
}

/// What an overfull engine may do, unless its fuel is another than diesel.
pub(super) fn runaway(circuit: &Circuit) -> Option<&'static str> {
    match circuit.spec().fluid.fuel {
        FuelSpec::Diesel => Some(if has_pressure(circuit) { RUNAWAY } else { RUNAWAY_IF_ENGINE }),
        FuelSpec::Petrol => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Which cautions go with which machine: common practice, no source.
    #[test]
    fn cautions_fit_the_machine() {
        let all = |name: &str| cautions_of(&Circuit::demo(name).unwrap()).join(" ");
        let (gearbox, bus) = (all("winch-gearbox"), all("shuttle-bus"));
        for of_engines in ["oil pressure", "An overfilled diesel", "first run", "Prefill"] {
            assert!(!gearbox.contains(of_engines) && bus.contains(of_engines), "{of_engines}: {gearbox}");
        }
        for always in ["Hot oil burns", "licensed collector", "milky or smells of fuel", "qualified technician"] {
            assert!(gearbox.contains(always) && bus.contains(always), "{always}");
        }
        let mut spec = Circuit::demo("deck-generator").unwrap().spec().clone();
        spec.fluid.fuel = FuelSpec::Petrol;
        let petrol = Circuit::from_spec(spec, &|_| Err("no files".into())).unwrap();
        assert!(!cautions_of(&petrol).join(" ").contains("diesel"));
    }

    /// A diesel lubricated by splash states neither pump nor filter, as a gearbox does; it can run away all the same.
    #[test]
    fn no_diesel_goes_without_its_caution() {
        let splash = Circuit::demo("winch-gearbox").unwrap();
        assert!(cautions_of(&splash).contains(&RUNAWAY_IF_ENGINE));
        let mut spec = splash.spec().clone();
        spec.fluid.fuel = FuelSpec::Petrol;
        let petrol = Circuit::from_spec(spec, &|_| Err("no files".into())).unwrap();
        assert_eq!(runaway(&petrol), None);
    }
}
