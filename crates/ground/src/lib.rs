//! Where things are and how to get about: the working plane, what is near what, travel, and the
//! shapes that are laid along a street. Degrees are [`LonLat`](gangday_model::LonLat) and metres
//! are [`PlanePoint`](gangday_model::PlanePoint); only [`Plane`] turns one into the other.

mod codes;
mod index;
mod local;
mod pieces;
mod plane;
mod polyline;
mod ring;
pub mod roads;
mod snap;
mod strip;
mod thin;
mod travel;

pub use codes::CODES;
pub use index::{Near, PlaceIndex};
pub use plane::Plane;
pub use polyline::{Polyline, Station};
pub use ring::{Ring, rectangle};
pub use snap::{LineIndex, Snap};
pub use strip::strip;
pub use thin::thinned;
pub use travel::{Straight, decimetres, shipped_travel};
