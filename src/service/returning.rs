//! What is still on its way back to the sump.

use super::view::View;
use crate::circuit::SUMP;

impl View<'_> {
    /// Volume still on its way back, each place at its own temperature (m3): pools and films of the stores, what a leaking
    /// filter lets go, and what hangs on the filler path. What stores keep for good does not count.
    pub(crate) fn returning(&self) -> f64 {
        let places = &self.program.places;
        let stores: f64 = places.stores.iter().map(|s| self.volume(s.pool) + self.volume(s.film)).sum();
        let filter = places.filter.and_then(|f| f.pool).map_or(0.0, |(pool, _)| self.volume(pool));
        stores + filter + places.filler.map_or(0.0, |filler| self.volume(filler.place))
    }

    /// How much higher the stick would read with so much more in the sump (m): rise of the free surface at the attitude of the
    /// event over the blade's mean rise between the marks, so that it goes on where the blade ends.
    pub(crate) fn rise_on_stick(&self, extra: f64) -> f64 {
        let l = self.program.circuit.layout();
        let [min, max] = [l.stick.min, l.stick.max].map(|mark| self.inputs[mark]);
        let height = |s: f64| self.program.height_on_blade(self.stance, self.leans, s);
        let rise = (height(max) - height(min)) / (max - min);
        let scale = l.volume_scale_at(self.inputs, self.sump_c());
        let level = |volume: f64| self.standing(0).surface(volume / scale);
        (level(self.volume(SUMP) + extra) - level(self.volume(SUMP))) / rise
    }

    /// Temperature of what the sump holds (°C).
    pub(crate) fn sump_c(&self) -> f64 {
        self.contents[SUMP].temperature_c
    }
}
