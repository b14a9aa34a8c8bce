//! Draws of the inputs, block by block: each row is the same whoever asks for it.

use super::inputs::{Group, Inputs};
use super::sampler::Sampler;
use crate::numeric::{normal, sobol, streams};
use crate::units::Distribution;

/// Rows of inputs: one column for each input, in order.
#[derive(Debug, Clone, Default)]
pub struct Block {
    columns: Vec<Vec<f64>>,
    rows: usize,
}

impl Block {
    /// A block whose every row holds these values.
    pub(super) fn of_constants(values: &[f64], rows: usize) -> Self {
        Self { columns: values.iter().map(|v| vec![*v; rows]).collect(), rows }
    }

    /// The first rows of this block.
    pub(super) fn shortened(&self, rows: usize) -> Self {
        Self { columns: self.columns.iter().map(|column| column[..rows].to_vec()).collect(), rows }
    }

    /// Number of rows.
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// The column of an input, one value per row. Panics beyond the last input, as a slice does.
    pub fn column(&self, input: usize) -> &[f64] {
        &self.columns[input]
    }

    /// Every column, in the order of the inputs.
    pub fn columns(&self) -> &[Vec<f64>] {
        &self.columns
    }

    pub(super) fn column_mut(&mut self, input: usize) -> &mut [f64] {
        &mut self.columns[input]
    }
}

/// Where the points come from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Points {
    /// ChaCha streams keyed by seed and the input's name.
    PseudoRandom,
    /// Sobol' points, scrambled anew after every so many rows.
    Sobol { rows_per_scramble: usize },
}

/// Which of two independent sets of draws: Sobol' indices need both.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    A,
    B,
}

/// Inputs with a seed and a kind of points.
#[derive(Debug, Clone)]
pub(super) struct Drawer<'a> {
    inputs: &'a Inputs,
    points: Points,
    seed: u64,
    samplers: Vec<Sampler>,
}

impl<'a> Drawer<'a> {
    pub(super) fn new(inputs: &'a Inputs, points: Points, seed: u64) -> Self {
        Self { inputs, points, seed, samplers: inputs.distributions().iter().map(Sampler::of).collect() }
    }

    /// A block with every input at its nominal value; the exact ones stay there.
    pub(super) fn block(&self, rows: usize) -> Block {
        let nominals: Vec<f64> = self.inputs.distributions().iter().map(Distribution::nominal).collect();
        Block::of_constants(&nominals, rows)
    }

    /// The inputs it draws.
    pub(super) fn inputs(&self) -> &'a Inputs {
        self.inputs
    }

    /// Rows `first..` of every uncertain input.
    pub(super) fn draw(&self, first: usize, block: &mut Block) {
        for group in self.inputs.grouped() {
            self.draw_group(group, Side::A, first, block);
        }
    }

    /// Rows `first..` of the inputs of a group.
    pub(super) fn draw_group(&self, group: &Group, side: Side, first: usize, block: &mut Block) {
        if let [input] = *group.members.as_slice() {
            let column = block.column_mut(input);
            self.uniform(input, side, first, column);
            self.samplers[input].at_uniforms(column);
            return;
        }
        let size = group.members.len();
        let mut scores = vec![vec![0.0; block.rows]; size];
        for (input, column) in group.members.iter().zip(&mut scores) {
            self.uniform(*input, side, first, column);
            normal::quantiles(column);
        }
        for (i, input) in group.members.iter().enumerate() {
            let out = block.column_mut(*input);
            out.fill(0.0);
            for (weight, scores) in group.root[i * size..][..=i].iter().zip(&scores) {
                out.iter_mut().zip(scores).for_each(|(sum, z)| *sum += weight * z);
            }
            out.iter_mut().for_each(|score| *score = self.samplers[*input].at_score(*score));
        }
    }

    /// Numbers strictly between 0 and 1 for rows `first..` of an input.
    fn uniform(&self, input: usize, side: Side, first: usize, out: &mut [f64]) {
        let name = &self.inputs.names()[input];
        let stream = match side {
            Side::A => name.clone(),
            Side::B => format!("{name}#b"),
        };
        match self.points {
            Points::PseudoRandom => streams::fill(self.seed, &stream, first as u64, out),
            Points::Sobol { rows_per_scramble } => {
                let dimension = self.dimension(input, side);
                let (mut row, mut left) = (first, out);
                while !left.is_empty() {
                    let (scramble, at) = (row / rows_per_scramble, row % rows_per_scramble);
                    let (now, later) = left.split_at_mut(left.len().min(rows_per_scramble - at));
                    let key = streams::key(self.seed, &stream, scramble as u64);
                    #[allow(clippy::cast_possible_truncation)] // the options allow 1e8 rows
                    sobol::fill_scrambled(dimension, key, at as u32, now);
                    row += now.len();
                    left = later;
                }
            }
        }
    }

    /// The coordinate of the Sobol' points that an input takes: its place among the uncertain ones, after them on side B.
    fn dimension(&self, input: usize, side: Side) -> usize {
        let uncertain = |i: &usize| !self.inputs.distributions()[*i].is_exact();
        let place = (0..input).filter(uncertain).count();
        match side {
            Side::A => place,
            Side::B => place + (0..self.inputs.names().len()).filter(uncertain).count(),
        }
    }
}
