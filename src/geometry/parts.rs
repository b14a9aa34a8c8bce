//! A domain of volume, nose-up and right-down in parts, each with its polynomial or left to the exact kernel.

use super::patch::Patch;
use crate::numeric::lanes::Eight;

/// The parts of a domain.
#[derive(Debug, Clone)]
pub(super) enum Parts {
    /// One polynomial for all of it, with the powers for upright walls: nothing is searched, its sum stands in line.
    Upright(Box<Patch>),
    /// One polynomial for all of it.
    One(Box<Patch>),
    /// A tree from its first node.
    Many(Vec<Node>),
}

/// A node of the tree that divides the domain; children follow each other in the list.
#[derive(Debug, Clone)]
pub(super) enum Node {
    /// Two halves along one axis: below `at` the node `first`, else the next one.
    Split { axis: usize, at: f64, first: usize },
    /// A polynomial.
    Fit(Box<Patch>),
    /// Left to the exact kernel.
    Exact,
}

impl Parts {
    /// Of the nodes of a tree, the root first.
    pub(super) fn new(mut nodes: Vec<Node>) -> Self {
        match nodes.pop() {
            Some(Node::Fit(only)) if nodes.is_empty() && only.is_upright() => Self::Upright(only),
            Some(Node::Fit(only)) if nodes.is_empty() => Self::One(only),
            last => {
                nodes.extend(last);
                Self::Many(nodes)
            }
        }
    }

    /// The value of the polynomial at a place; `None` outside the domain and where that is left to the exact kernel.
    pub(super) fn value(&self, volume: f64, nose_up: f64, right_down: f64) -> Option<f64> {
        let at = [volume, nose_up, right_down];
        match self {
            Self::Upright(patch) => patch.upright_value(at),
            Self::One(patch) => patch.value(at),
            Self::Many(nodes) => search(nodes, volume, nose_up, right_down)?.0.value(at),
        }
    }

    /// The values at eight places, each with the bits of [`Parts::value`]; `None` where not one polynomial serves them.
    #[inline]
    pub(super) fn values(&self, at: [Eight; 3]) -> Option<Eight> {
        match self {
            Self::Upright(patch) => patch.upright_value(at),
            Self::One(patch) => patch.values(at),
            Self::Many(_) => None,
        }
    }

    /// The polynomial for a place, and between which volumes it holds at that attitude as far as borders with other parts go.
    /// That of a place outside the domain is one at its border.
    pub(super) fn patch_and_range(&self, volume: f64, nose_up: f64, right_down: f64) -> Option<(&Patch, [f64; 2])> {
        match self {
            Self::Upright(patch) | Self::One(patch) => Some((patch, ENDLESS)),
            Self::Many(nodes) => search(nodes, volume, nose_up, right_down),
        }
    }
}

const ENDLESS: [f64; 2] = [f64::NEG_INFINITY, f64::INFINITY];

fn search(nodes: &[Node], volume: f64, nose_up: f64, right_down: f64) -> Option<(&Patch, [f64; 2])> {
    let (mut node, mut range) = (0, ENDLESS);
    loop {
        match &nodes[node] {
            Node::Split { axis, at: border, first } => {
                let x = match axis {
                    0 => volume,
                    1 => nose_up,
                    _ => right_down,
                };
                let above = x >= *border;
                if *axis == 0 {
                    range[usize::from(!above)] = *border;
                }
                node = first + usize::from(above);
            }
            Node::Fit(patch) => return Some((patch, range)),
            Node::Exact => return None,
        }
    }
}
