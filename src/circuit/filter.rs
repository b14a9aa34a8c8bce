//! What a filter holds, from its can where no volume is stated, and what it does by the way it hangs.

use super::CircuitError;
use super::spec::{FilterSpec, Orientation, ValveSpec};
use crate::units::{Distribution, Ratio, Value, Volume};

/// Net volume over the outer cylinder of the can: limits calculated from wall, media and end plates of cans of known net
/// volume; the middle is 0.65.
pub const NET_OF_CAN: [f64; 2] = [0.49, 0.81];

impl FilterSpec {
    /// Liquid the filter holds: as stated, else 0.49 to 0.81 of the outer cylinder of its can, `π/4 d² l`.
    pub fn net(&self) -> Result<Value<Volume>, CircuitError> {
        if let Some(net) = &self.net_volume {
            return Ok(net.clone());
        }
        let Some(can) = &self.can else {
            let message = "net_volume or can = { diameter, length } is wanted".to_string();
            return Err(CircuitError::BadValue { path: "filter".into(), line: 0, message });
        };
        let outer = std::f64::consts::FRAC_PI_4 * can.diameter.nominal().powi(2) * can.length.nominal();
        let [low, high] = NET_OF_CAN.map(|share| share * outer);
        let net = Distribution::rectangular("filter.can", low, high);
        Ok(net.map_or_else(|_| Value::constant(0.5 * (low + high)), Value::from_distribution))
    }

    /// Share that runs back at rest; `None` with a sound valve.
    pub fn drains_share(&self) -> Option<Value<Ratio>> {
        let by_orientation = || match self.orientation {
            None | Some(Orientation::BaseDown) => 1.0,
            Some(Orientation::Sideways) => 0.5,
            Some(Orientation::BaseUp) => 0.0,
        };
        (self.valve == ValveSpec::Leaking)
            .then(|| self.drains.clone().unwrap_or_else(|| Value::constant(by_orientation())))
    }

    /// Share of what it holds that is spilled when it is taken off (defaults by orientation: judgement).
    pub fn spill_share(&self) -> Value<Ratio> {
        let by_orientation = || match self.orientation {
            None => 0.0,
            Some(Orientation::BaseUp) => 0.03,
            Some(Orientation::Sideways) => 0.3,
            Some(Orientation::BaseDown) => 0.8,
        };
        self.spill.clone().unwrap_or_else(|| Value::constant(by_orientation()))
    }
}

#[cfg(test)]
mod tests {
    use super::super::spec::CanSpec;
    use super::*;

    fn of_can(diameter: &str, length: &str) -> FilterSpec {
        let can = CanSpec {
            diameter: Value::parse("diameter", diameter).unwrap(),
            length: Value::parse("length", length).unwrap(),
        };
        FilterSpec {
            net_volume: None,
            can: Some(can),
            valve: ValveSpec::Sound,
            orientation: None,
            drains: None,
            drain_time: Value::constant(60.0),
            spill: None,
        }
    }

    /// Calculated from outer sizes (mm) with 0.65: net volumes in L.
    #[test]
    fn cans_by_size() {
        let cans = [
            (66, 66, 0.15),
            (68, 85, 0.20),
            (76, 80, 0.24),
            (76, 123, 0.36),
            (93, 95, 0.42),
            (93, 142, 0.63),
            (108, 175, 1.0),
            (118, 300, 2.1),
        ];
        for (d, l, net) in cans {
            let got = of_can(&format!("{d} mm"), &format!("{l} mm")).net().unwrap().nominal() * 1e3;
            let places = if net < 1.0 { 0.005 } else { 0.05 };
            assert!((got - net).abs() <= places, "{d} x {l}: {got} L, not {net} L");
        }
    }

    #[test]
    fn a_filter_without_volume_and_can_is_refused() {
        let bare = FilterSpec { can: None, ..of_can("76 mm", "80 mm") };
        assert!(bare.net().unwrap_err().to_string().contains("net_volume or can"));
    }

    #[test]
    fn what_runs_back_depends_on_valve_and_orientation() {
        let sound = of_can("76 mm", "80 mm");
        assert!(sound.drains_share().is_none());
        let down = FilterSpec { valve: ValveSpec::Leaking, orientation: Some(Orientation::BaseDown), ..sound.clone() };
        let up = FilterSpec { orientation: Some(Orientation::BaseUp), ..down.clone() };
        assert!(down.drains_share().unwrap().nominal() == 1.0 && up.drains_share().unwrap().nominal() == 0.0);
        assert!(up.spill_share().nominal() < down.spill_share().nominal());
        assert!(sound.spill_share().nominal() == 0.0);
    }
}
