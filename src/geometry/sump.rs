//! A sump: a liquid space that can be asked for its volume and level at any attitude.

use std::sync::{Arc, OnceLock};

use uom::si::area::square_meter;
use uom::si::f64::{Area, Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::attitude::Attitude;
use super::basins::{Adjacency, Tree};
use super::blocks::{Blocks, WORTH};
use super::cache::Cache;
use super::curve::LevelCurve;
use super::error::GeometryError;
use super::kernel::{Side, View};
use super::mesh::ClosedMesh;
use super::point::{Bounds, Point};
use super::stl::{self, LengthUnit};
use super::table::{Span, Table};
use super::vector::dot;

/// A liquid space: immutable, cheap to clone, equal when the shapes are equal.
///
/// Level is the height of the free surface above the sump's lowest point at that attitude, along *up*. Curves are
/// prepared at the first question for an attitude and kept for the latest few.
///
/// ```
/// use fillmark::geometry::{Attitude, Sump};
/// use fillmark::uom::si::{f64::{Length, Volume}, length::millimeter, volume::liter};
/// let mm = |x| Length::new::<millimeter>(x);
/// let sump = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0))?;
/// let half = sump.level(Volume::new::<liter>(3.0), Attitude::LEVEL)?;
/// assert!((half.get::<millimeter>() - 50.0).abs() < 1e-9);
/// # Ok::<(), fillmark::geometry::GeometryError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Sump {
    inner: Arc<Inner>,
}

#[derive(Debug)]
struct Inner {
    shape: Shape,
    cache: Cache<LevelCurve>,
    trees: Cache<Tree>,
    domes: Cache<Tree>,
    adjacency: OnceLock<Adjacency>,
    blocks: OnceLock<Blocks>,
}

/// What is known of the liquid space.
#[derive(Debug)]
enum Shape {
    /// Its whole surface.
    Mesh(Arc<ClosedMesh>),
    /// Level and volume, and perhaps the centroid of the free surface.
    Table(Table),
}

impl Sump {
    /// A straight-sided box on level ground, `length` along x, `width` along y, `height` along z. Its origin is the
    /// middle of the floor. Each side must be between 1 mm and 20 m.
    pub fn cuboid(length: Length, width: Length, height: Length) -> Result<Self, GeometryError> {
        super::shapes::cuboid(length.get::<meter>(), width.get::<meter>(), height.get::<meter>()).map(Self::from_mesh)
    }

    /// A sump with the shape of a closed mesh.
    pub fn from_mesh(mesh: ClosedMesh) -> Self {
        Self::of(Shape::Mesh(Arc::new(mesh)))
    }

    /// A sump drawn in an STL file, from the file's bytes and the unit of its coordinates.
    pub fn from_stl_bytes(bytes: &[u8], unit: LengthUnit) -> Result<Self, GeometryError> {
        stl::read(bytes, unit).map(Self::from_mesh)
    }

    /// A sump known by a strapping table: rows of level and volume, both rising, straight between rows (common
    /// practice for strapped tanks). It serves level ground only, between its first and last row.
    pub fn from_table(rows: &[(Length, Volume)]) -> Result<Self, GeometryError> {
        Table::from_rows(rows).map(Self::of_table)
    }

    /// A sump known by a strapping table and the centroid of its free surface, which serves tilts up to 10 deg between *up*
    /// and the body's z axis (judgement).
    ///
    /// `centroid` is x and y in the body frame, one point for all rows or one for each, straight between rows; level 0 of
    /// the table is the body's z = 0. Off level the free surface is the plane normal to *up* through the centroid at the table's
    /// level for the volume: that is right to first order in the tilt, and exact between upright walls while the surface
    /// meets neither floor nor lid, of which a table knows nothing. Between leaning walls it is `tan(t)^2 / 2 * dI/dz` of
    /// volume off, t being the tilt and I the second moment of the free surface about the axis of the tilt: for the drawn sump
    /// of the demo 0.006 mm at 1 deg and 0.09 mm at 4 deg, but millimetres where the tilted surface passes over its
    /// shelf. Levels are counted, along *up*, from the body point `(x, y, 0)` at the centroid of the first row: the table's own levels on level ground.
    ///
    /// ```
    /// use fillmark::geometry::{Attitude, Sump};
    /// use fillmark::uom::si::{f64::{Length, Volume}, length::millimeter, volume::liter};
    /// let (mm, l) = (|x| Length::new::<millimeter>(x), |x| Volume::new::<liter>(x));
    /// let rows = [(mm(0.0), l(0.0)), (mm(100.0), l(6.0))];
    /// let pan = Sump::from_table_with_centroid(&rows, &[(mm(40.0), mm(0.0))])?;
    /// let nose_up = Attitude::from_degrees(5.0, 0.0)?;
    /// // The plane passes 50 mm over the centroid, and lies 50 mm cos 5 deg from it along up.
    /// let level = pan.level(l(3.0), nose_up)?;
    /// assert!((level.get::<millimeter>() - 50.0 * 5f64.to_radians().cos()).abs() < 1e-9);
    /// # Ok::<(), fillmark::geometry::GeometryError>(())
    /// ```
    pub fn from_table_with_centroid(
        rows: &[(Length, Volume)],
        centroid: &[(Length, Length)],
    ) -> Result<Self, GeometryError> {
        Table::from_rows(rows)?.with_centroid(centroid).map(Self::of_table)
    }

    /// A sump known by its marks: taken as straight-sided with the free surface `span.volume / span.length`. Level 0 is
    /// where such a sump would be empty. It serves level ground only.
    pub fn from_span(span: Span) -> Result<Self, GeometryError> {
        Table::from_span(span).map(Self::of_table)
    }

    /// A sump known by its marks and the centroid of its free surface, x and y in the body frame; as
    /// [`Sump::from_table_with_centroid`].
    pub fn from_span_with_centroid(span: Span, centroid: (Length, Length)) -> Result<Self, GeometryError> {
        Table::from_span(span)?.with_centroid(&[centroid]).map(Self::of_table)
    }

    /// A sump known by a table or a span, with every length times `factor`; none for one with a mesh.
    pub(super) fn scaled_table(&self, factor: f64) -> Option<Self> {
        let Shape::Table(table) = &self.inner.shape else { return None };
        Some(Self::of_table(table.scaled(factor)))
    }

    fn of_table(table: Table) -> Self {
        Self::of(Shape::Table(table))
    }

    fn of(shape: Shape) -> Self {
        let (cache, trees, domes) = (Cache::default(), Cache::default(), Cache::default());
        Self {
            inner: Arc::new(Inner { shape, cache, trees, domes, adjacency: OnceLock::new(), blocks: OnceLock::new() }),
        }
    }

    /// The mesh, unless the sump is known by a table or a span.
    pub fn mesh(&self) -> Option<&ClosedMesh> {
        match &self.inner.shape {
            Shape::Mesh(mesh) => Some(mesh),
            Shape::Table(_) => None,
        }
    }

    /// Bounding box in the body frame, unless the sump is known by a table or a span.
    pub fn bounds(&self) -> Option<Bounds> {
        let (low, high) = self.mesh()?.bounds_si();
        Some(Bounds { low: Point::from_si(low), high: Point::from_si(high) })
    }

    /// Volume of the whole liquid space.
    pub fn capacity(&self) -> Volume {
        Volume::new::<cubic_meter>(self.capacity_si())
    }

    /// Volume below `level`. Refused outside 0 to the height at that attitude.
    pub fn volume(&self, level: Length, attitude: Attitude) -> Result<Volume, GeometryError> {
        self.curve(attitude)?.volume(level)
    }

    /// Ullage: room left above `level`, the capacity less the volume below it.
    pub fn ullage(&self, level: Length, attitude: Attitude) -> Result<Volume, GeometryError> {
        self.curve(attitude)?.ullage_si(level.get::<meter>()).map(Volume::new::<cubic_meter>)
    }

    /// Level at which `volume` stands (one common level everywhere). Refused below 0 and above the capacity.
    pub fn level(&self, volume: Volume, attitude: Attitude) -> Result<Length, GeometryError> {
        self.curve(attitude)?.level(volume)
    }

    /// Area of the free surface at `level`: the derivative of the volume.
    pub fn free_surface(&self, level: Length, attitude: Attitude) -> Result<Area, GeometryError> {
        self.curve(attitude)?.free_surface(level)
    }

    /// Area of the free surface just below or just above `level`.
    pub fn free_surface_on(&self, level: Length, side: Side, attitude: Attitude) -> Result<Area, GeometryError> {
        let curve = self.curve(attitude)?;
        curve.free_surface_on_si(level.get::<meter>(), side).map(Area::new::<square_meter>)
    }

    /// The whole level-volume curve at one attitude, prepared or taken from the kept ones.
    pub fn curve(&self, attitude: Attitude) -> Result<Arc<LevelCurve>, GeometryError> {
        match &self.inner.shape {
            Shape::Mesh(mesh) => Ok(self.inner.cache.get(attitude, || LevelCurve::of_mesh(mesh, attitude))),
            Shape::Table(table) => {
                table.serves(attitude)?;
                Ok(self.inner.cache.get(attitude, || table.curve(attitude)))
            }
        }
    }

    /// The curve at one attitude, always prepared anew and not kept: for one-off questions at many attitudes.
    pub fn prepare(&self, attitude: Attitude) -> Result<LevelCurve, GeometryError> {
        match &self.inner.shape {
            Shape::Mesh(mesh) => Ok(LevelCurve::of_mesh(mesh, attitude)),
            Shape::Table(table) => table.serves(attitude).map(|()| table.curve(attitude)),
        }
    }

    /// Volume and free surface (just below, just above) at a level by one pass over the triangles, without preparing a
    /// curve: cheaper for a single question, and the independent check of the curve. In metres, m3 and m2.
    pub fn direct_si(&self, level: f64, attitude: Attitude) -> Result<(f64, [f64; 2]), GeometryError> {
        let view = View::new(self.need_mesh()?, attitude.up_si());
        let surface = [Side::Below, Side::Above].map(|side| view.free_surface(level, side));
        Ok((view.volume(level), surface))
    }

    /// Volume below a level without preparing a curve: for a single question at an attitude. Refused outside 0 to the height
    /// there. In metres and cubic metres.
    ///
    /// The first such question to a sump of many faces puts them in blocks, which takes about as long as preparing a
    /// curve; every one then looks only at the faces near the plane.
    pub fn direct_volume_si(&self, level: f64, attitude: Attitude) -> Result<f64, GeometryError> {
        let (mesh, up) = (self.need_mesh()?, attitude.up_si());
        let direct = if let Some((mesh, blocks)) = self.blocks() {
            blocks.volume(mesh, up, level)
        } else {
            let view = View::new(mesh, up);
            (level >= 0.0 && view.heights.iter().any(|h| level <= *h)).then(|| view.volume(level))
        };
        direct.map_or_else(|| self.volume_si(level, attitude), Ok)
    }

    /// The faces in blocks, where they are worth it; made at the first question.
    pub(crate) fn blocks(&self) -> Option<(&ClosedMesh, &Blocks)> {
        let mesh = self.need_mesh().ok().filter(|mesh| mesh.face_count() >= WORTH && mesh.curved().is_none())?;
        Some((mesh, self.inner.blocks.get_or_init(|| Blocks::new(mesh))))
    }

    /// The lowest point at an attitude (of several, the first vertex).
    pub fn lowest_point(&self, attitude: Attitude) -> Result<Point, GeometryError> {
        let mesh = self.need_mesh()?;
        let (heights, _) = mesh.heights(attitude.up_si());
        let lowest = (0u32..).zip(&heights).min_by(|a, b| a.1.total_cmp(b.1)).map_or(0, |(i, _)| i);
        Ok(Point::from_si(mesh.vertex(lowest)))
    }

    /// Level of a free surface that passes through a point of the body (negative below the lowest point).
    ///
    /// For a table or a span the body's z = 0 is taken as level 0, off level at the centroid of its first row.
    pub fn level_of_point(&self, point: Point, attitude: Attitude) -> Result<Length, GeometryError> {
        self.level_of_point_si(point.si(), attitude).map(Length::new::<meter>)
    }

    /// Depth of a point below the free surface at `level`, along *up* (negative above it).
    pub fn depth(&self, point: Point, level: Length, attitude: Attitude) -> Result<Length, GeometryError> {
        Ok(level - self.level_of_point(point, attitude)?)
    }

    /// [`Sump::capacity`] in cubic metres.
    pub fn capacity_si(&self) -> f64 {
        match &self.inner.shape {
            Shape::Mesh(mesh) => mesh.volume_si(),
            Shape::Table(table) => table.capacity_si(),
        }
    }

    /// [`Sump::volume`] in metres and cubic metres.
    pub fn volume_si(&self, level: f64, attitude: Attitude) -> Result<f64, GeometryError> {
        self.curve(attitude)?.volume_si(level)
    }

    /// [`Sump::level`] in cubic metres and metres.
    pub fn level_si(&self, volume: f64, attitude: Attitude) -> Result<f64, GeometryError> {
        self.curve(attitude)?.level_si(volume)
    }

    /// [`Sump::free_surface`] in metres and square metres.
    pub fn free_surface_si(&self, level: f64, attitude: Attitude) -> Result<f64, GeometryError> {
        self.curve(attitude)?.free_surface_si(level)
    }

    /// [`Sump::level_of_point`] in metres.
    pub fn level_of_point_si(&self, point: [f64; 3], attitude: Attitude) -> Result<f64, GeometryError> {
        Ok(dot(point, attitude.up_si()) - self.curve(attitude)?.datum_si())
    }

    /// The merge trees kept.
    pub(crate) fn trees(&self) -> &Cache<Tree> {
        &self.inner.trees
    }

    /// The trees of the parts above a falling level kept.
    pub(crate) fn domes(&self) -> &Cache<Tree> {
        &self.inner.domes
    }

    /// Which faces of the mesh meet at each vertex.
    pub(crate) fn adjacency(&self, mesh: &ClosedMesh) -> &Adjacency {
        self.inner.adjacency.get_or_init(|| Adjacency::new(mesh))
    }

    /// The mesh, or the error of a shape without plan form.
    pub(crate) fn need_mesh(&self) -> Result<&ClosedMesh, GeometryError> {
        match &self.inner.shape {
            Shape::Mesh(mesh) => Ok(mesh),
            Shape::Table(table) => Err(GeometryError::NoPlanForm { source_kind: table.kind().into() }),
        }
    }
}

impl PartialEq for Sump {
    fn eq(&self, other: &Self) -> bool {
        if Arc::ptr_eq(&self.inner, &other.inner) {
            return true;
        }
        match (&self.inner.shape, &other.inner.shape) {
            (Shape::Mesh(a), Shape::Mesh(b)) => a == b,
            (Shape::Table(a), Shape::Table(b)) => a == b,
            _ => false,
        }
    }
}

impl From<ClosedMesh> for Sump {
    fn from(mesh: ClosedMesh) -> Self {
        Self::from_mesh(mesh)
    }
}
