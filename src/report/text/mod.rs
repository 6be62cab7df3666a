//! Text for people: 80 columns, colour as escape codes that the binary strips
//! where they are not wanted.

mod around;
pub mod check;
pub mod cover;
pub mod explain;
pub mod fault;
mod figure;
pub mod near;
pub mod open;
pub mod page;
pub mod prove;
pub mod read;
pub mod readings;
pub mod record;
pub mod remedy;
pub mod sets;
pub mod spread;
pub mod stock;
pub mod supply;

pub use page::Page;
mod worked;
