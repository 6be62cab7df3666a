//! The supply engine against figures from outside and the laws of physics.

mod computed;
mod extreme;
mod parts;
mod physics;
mod points;
mod realistic;
mod reference;
mod scenarios;
mod speeds;
mod starting;
mod textbook;
mod work;
