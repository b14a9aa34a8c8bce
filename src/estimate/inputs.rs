//! The inputs of a model by name, and how they hang together.

use std::f64::consts::FRAC_PI_6;

use super::EstimateError;
use crate::numeric::cholesky;
use crate::units::Distribution;

/// What a stated correlation coefficient is the correlation of.
///
/// Inputs are tied by a Gaussian copula: each becomes a standard normal *score* with the same probability below it, and the
/// scores are jointly normal. For two normal inputs both meanings of "product-moment" coincide.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub enum CorrelationOf {
    /// Product-moment correlation of the normal scores: the `r(x, y)` of JCGM 100 (5.2.2) for normal inputs.
    #[default]
    Scores,
    /// Spearman's rank correlation, which does not depend on the distributions. The scores get `2 sin(pi rho / 6)`
    /// (Pearson 1907; Kruskal 1958, Journal of the American Statistical Association 53:814).
    Ranks,
}

/// A correlation of two inputs.
#[derive(Debug, Clone, PartialEq)]
pub struct Correlation {
    /// Name of one input.
    pub a: String,
    /// Name of the other.
    pub b: String,
    /// The coefficient, strictly between -1 and 1.
    pub r: f64,
    /// What it is the correlation of.
    pub of: CorrelationOf,
}

impl Correlation {
    /// The correlation of two inputs' normal scores.
    pub fn of_scores(a: &str, b: &str, r: f64) -> Self {
        Self { a: a.into(), b: b.into(), r, of: CorrelationOf::Scores }
    }

    /// The rank correlation of two inputs.
    pub fn of_ranks(a: &str, b: &str, r: f64) -> Self {
        Self { a: a.into(), b: b.into(), r, of: CorrelationOf::Ranks }
    }

    fn of_the_scores(&self) -> f64 {
        match self.of {
            CorrelationOf::Scores => self.r,
            CorrelationOf::Ranks => 2.0 * (FRAC_PI_6 * self.r).sin(),
        }
    }
}

/// Inputs that hang together: one alone, or several tied by correlations.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Group {
    /// Indices of the inputs, rising.
    pub(super) members: Vec<usize>,
    /// Correlation matrix of the scores, row by row.
    pub(super) matrix: Vec<f64>,
    /// Its lower triangular root, row by row.
    pub(super) root: Vec<f64>,
}

/// The inputs of a model: a name and a distribution each, and their correlations. Immutable.
///
/// A thing that enters twice, such as one jug used for two pours, is one input that the model uses twice.
///
/// ```
/// use fillmark::estimate::{Correlation, Inputs};
/// use fillmark::units::Distribution;
/// let inputs = Inputs::new([
///     ("x1", Distribution::normal("x1", 0.0, 1.0)?),
///     ("x2", Distribution::normal("x2", 0.0, 1.0)?),
/// ])?;
/// let tied = inputs.correlated(&[Correlation::of_scores("x1", "x2", 0.9)])?;
/// assert_eq!(tied.groups().collect::<Vec<_>>(), [["x1", "x2"]]);
/// # Ok::<(), fillmark::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Inputs {
    names: Vec<String>,
    distributions: Vec<Distribution>,
    groups: Vec<Group>,
}

impl Inputs {
    /// Inputs in the order in which the model gets them; no two of one name, at least one.
    pub fn new<N: Into<String>>(inputs: impl IntoIterator<Item = (N, Distribution)>) -> Result<Self, EstimateError> {
        let (names, distributions): (Vec<String>, Vec<_>) = inputs.into_iter().map(|(n, d)| (n.into(), d)).unzip();
        if names.is_empty() {
            return Err(EstimateError::NoInputs);
        }
        Self::of(names, distributions)
    }

    /// The inputs of a service, of which none may be uncertain.
    pub(super) fn of(names: Vec<String>, distributions: Vec<Distribution>) -> Result<Self, EstimateError> {
        if let Some((_, name)) = names.iter().enumerate().find(|(i, name)| names[..*i].contains(name)) {
            return Err(EstimateError::RepeatedInput { input: name.clone() });
        }
        let uncertain = (0..names.len()).filter(|i| !distributions[*i].is_exact());
        let groups = uncertain.map(|i| Group { members: vec![i], matrix: vec![1.0], root: vec![1.0] }).collect();
        Ok(Self { names, distributions, groups })
    }

    /// The same inputs with these correlations, in place of any there were. Pairs that are not named have the coefficient 0.
    ///
    /// The matrix must be positive definite: three inputs cannot be pairwise correlated with -0.9, and inputs that are
    /// correlated fully are one input.
    pub fn correlated(&self, correlations: &[Correlation]) -> Result<Self, EstimateError> {
        let n = self.names.len();
        let mut matrix = vec![0.0; n * n];
        (0..n).for_each(|i| matrix[i * n + i] = 1.0);
        for correlation in correlations {
            let (i, j) = self.pair(correlation)?;
            if matrix[i * n + j] != 0.0 {
                let (a, b) = (correlation.a.clone(), correlation.b.clone());
                return Err(EstimateError::RepeatedCorrelation { a, b });
            }
            matrix[i * n + j] = correlation.of_the_scores();
            matrix[j * n + i] = matrix[i * n + j];
        }
        let groups = components(&matrix, n)
            .into_iter()
            .filter(|members| !self.distributions[members[0]].is_exact())
            .map(|members| self.group(members, &matrix))
            .collect::<Result<_, _>>()?;
        Ok(Self { groups, ..self.clone() })
    }

    /// The indices of the two inputs of a correlation that may be stated.
    fn pair(&self, correlation: &Correlation) -> Result<(usize, usize), EstimateError> {
        let (a, b) = (self.index(&correlation.a)?, self.index(&correlation.b)?);
        let r = correlation.r;
        if !(r > -1.0 && r < 1.0) || a == b {
            let (a, b) = (correlation.a.clone(), correlation.b.clone());
            return Err(EstimateError::CorrelationOutOfRange { a, b, value: r.to_string() });
        }
        match [a, b].into_iter().find(|i| self.distributions[*i].is_exact()) {
            Some(i) => Err(EstimateError::CorrelationOfExact { input: self.names[i].clone() }),
            None => Ok((a, b)),
        }
    }

    fn group(&self, members: Vec<usize>, whole: &[f64]) -> Result<Group, EstimateError> {
        let n = self.names.len();
        let matrix: Vec<f64> = members.iter().flat_map(|i| members.iter().map(move |j| whole[i * n + j])).collect();
        if let Some(root) = cholesky::root(&matrix, members.len()) {
            return Ok(Group { members, matrix, root });
        }
        let inputs = members.iter().map(|i| self.names[*i].clone()).collect();
        Err(EstimateError::ImpossibleCorrelations { inputs })
    }

    /// The index of an input.
    pub fn index(&self, name: &str) -> Result<usize, EstimateError> {
        let unknown = || EstimateError::UnknownInput { input: name.into(), known: self.names.clone().into() };
        self.names.iter().position(|n| n == name).ok_or_else(unknown)
    }

    /// Their names, in order.
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// What is known of each, in order.
    pub fn distributions(&self) -> &[Distribution] {
        &self.distributions
    }

    /// The names of the uncertain inputs, those that hang together in one list.
    pub fn groups(&self) -> impl Iterator<Item = Vec<&str>> {
        self.groups.iter().map(|g| g.members.iter().map(|i| self.names[*i].as_str()).collect())
    }

    /// Number of uncertain inputs.
    pub fn uncertain(&self) -> usize {
        self.groups.iter().map(|group| group.members.len()).sum()
    }

    pub(super) fn grouped(&self) -> &[Group] {
        &self.groups
    }
}

/// Sets of indices that non-zero entries connect, each rising, in the order of their first.
fn components(matrix: &[f64], n: usize) -> Vec<Vec<usize>> {
    let mut left: Vec<usize> = (0..n).collect();
    let mut all = Vec::new();
    while let Some(first) = left.first().copied() {
        let mut members = vec![first];
        let mut at = 0;
        while let Some(i) = members.get(at).copied() {
            let new = left.iter().filter(|j| matrix[i * n + **j] != 0.0 && !members.contains(j)).copied();
            let new: Vec<usize> = new.collect();
            members.extend(new);
            at += 1;
        }
        left.retain(|j| !members.contains(j));
        members.sort_unstable();
        all.push(members);
    }
    all
}
