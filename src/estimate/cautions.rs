//! Cautions printed with every result that people act on (common practice, no source).

/// Cautions for draining, filling and reading.
pub const CAUTIONS: &[&str] = &[
    "Hot oil burns. Engine off, brake on, wheels chocked; never rely on a jack alone.",
    "Keep oil off skin and off hot exhaust; used oil and filters go to a licensed collector, never to ground or drain.",
    "A reading before the first run stands high by the filter's volume: take no oil out before it.",
    "If oil pressure does not come up within 15 s of starting, stop.",
    "Do not start when the oil is milky or smells of fuel; an overfilled diesel can run away on its own oil.",
    "Prefill a filter on the inlet side only, and only where the maker allows.",
    "This is an estimate for teaching and analysis; the maker's instructions, local codes and a qualified technician decide.",
];
