//! Are the quantities of an event acceptable by themselves, whatever comes before it?

use super::inputs::{self, Range};
use super::{Action, Amount};
use crate::numeric::check;
use crate::units::{Dimension, QuantityError, Value};

impl Action {
    /// Checks each quantity's nominal value against the range that a program accepts.
    ///
    /// # Errors
    /// [`QuantityError::OutOfRange`], which names the quantity, such as `Pour.volume`.
    ///
    /// ```
    /// use fillmark::service::{Action, Amount};
    /// let amount = Amount::Volume(fillmark::units::Value::parse("volume", "-1 L")?);
    /// let error = Action::Withdraw { amount, measured_with: None }.check().unwrap_err();
    /// assert_eq!(error.to_string(), "Withdraw.volume = -1 L is outside 0 to 1000 L");
    /// # Ok::<(), fillmark::Error>(())
    /// ```
    pub fn check(&self) -> Result<(), QuantityError> {
        match self {
            Self::ClosePlug { .. } | Self::RemoveFilter | Self::Tilt { .. } | Self::Stop { .. } | Self::Wipe => Ok(()),
            Self::OpenPlug { temperature, .. } => self.optional("temperature", temperature.as_ref(), &inputs::CELSIUS),
            Self::FitFilter { primed, net_volume, temperature }
            | Self::ChangeFilter { primed, net_volume, temperature } => {
                self.within("primed", primed, &inputs::LITRES)?;
                self.optional("net_volume", net_volume.as_ref(), &inputs::LITRES)?;
                self.optional("temperature", temperature.as_ref(), &inputs::CELSIUS)
            }
            Self::Drain { duration, temperature, .. } => {
                self.within("duration", duration, &inputs::SECONDS)?;
                self.optional("temperature", temperature.as_ref(), &inputs::CELSIUS)
            }
            Self::Pour { amount, temperature, .. } => {
                self.amount(amount)?;
                self.optional("temperature", temperature.as_ref(), &inputs::CELSIUS)
            }
            Self::Withdraw { amount, .. } => self.amount(amount),
            Self::Run { duration, temperature } => {
                self.within("duration", duration, &inputs::RUNNING)?;
                self.optional("temperature", temperature.as_ref(), &inputs::CELSIUS)
            }
            Self::Rest { duration } => self.within("duration", duration, &inputs::SECONDS),
            Self::Leak { rate, .. } | Self::Use { rate, .. } | Self::Ingress { rate, .. } => {
                self.within("rate", rate, &inputs::FLOW)
            }
            Self::Read(how) => {
                self.optional("smear", how.smear.as_ref(), &inputs::SHIFT)?;
                self.optional("seat_offset", how.seat_offset.as_ref(), &inputs::SHIFT)?;
                self.optional("tube_pressure", how.tube_pressure.as_ref(), &inputs::TUBE)
            }
        }
    }

    fn amount(&self, amount: &Amount) -> Result<(), QuantityError> {
        match amount {
            Amount::Volume(volume) => self.within("volume", volume, &inputs::LITRES),
            Amount::Mass(mass) => self.within("mass", mass, &inputs::KILOGRAMS),
        }
    }

    fn within<D: Dimension>(&self, field: &str, value: &Value<D>, range: &Range) -> Result<(), QuantityError> {
        let what = format!("{}.{field}", self.name());
        check::in_range(&what, value.nominal() * range.per_si, range.low, range.high, range.unit)?;
        Ok(())
    }

    fn optional<D: Dimension>(
        &self,
        field: &str,
        value: Option<&Value<D>>,
        range: &Range,
    ) -> Result<(), QuantityError> {
        value.map_or(Ok(()), |value| self.within(field, value, range))
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Event, ServiceError, simulate};
    use crate::Error;
    use crate::circuit::Circuit;

    /// What is refused by itself is what a program refuses, with the same numbers.
    #[test]
    fn it_refuses_what_a_program_refuses() {
        let bus = Circuit::demo("shuttle-bus").unwrap();
        for (line, refused) in [
            ("pour -1 L", true),
            ("pour 1001 kg", true),
            ("pour 1 L oil at 151 degC", true),
            ("withdraw -1 mL", true),
            ("run 0 s", true),
            ("run 0.001 s", false),
            ("rest -1 s", true),
            ("drain -1 min", true),
            ("drain 1 min at -51 degC", true),
            ("change filter primed -0.1 L", true),
            ("change filter primed 0.1 L", false),
            ("leak -1 L/min", true),
            ("use 1001 L/min", true),
            ("read, seat offset 201 mm", true),
            ("read", false),
        ] {
            let Ok(event) = Event::parse(line) else { panic!("{line}") };
            let program = match simulate(&bus, std::slice::from_ref(&event)) {
                Err(Error::Service(ServiceError::OutOfRange { field, value, low, high, .. })) => {
                    Some((format!("{}.{field}", event.action.name()), value, low, high))
                }
                _ => None,
            };
            let alone = event.action.check().err().map(|e| {
                let f = crate::error::Coded::fields(&e);
                let number = |name: &str| f[name].as_f64().unwrap();
                (f["what"].as_str().unwrap().to_string(), number("value"), number("low"), number("high"))
            });
            assert_eq!(alone, program, "{line}");
            assert_eq!(alone.is_some(), refused, "{line}");
        }
    }
}
