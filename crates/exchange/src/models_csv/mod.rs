//! Cup models as a CSV table: read with a report of bad rows, and written.
//!
//! The first row names the columns, each with its unit, in any order: `length mm`, `length (in)`, `axial N/mm`. Fields
//! may be quoted, separated by commas, semicolons or tabs, with a decimal point or comma. [`models_csv`] writes every
//! column.
//!
//! | column | needed | means |
//! | --- | --- | --- |
//! | name | yes | what lists show |
//! | shape | yes | `round`, `long` or `rectangle` |
//! | length | yes | outer lip size; the diameter of a round cup |
//! | width | long, rectangle | outer lip size across |
//! | corner | | corner radius of a rectangle, 0 when left out |
//! | bore, height, travel | yes | opening for the air, height unloaded, how far it gives |
//! | axial, lateral | yes | stiffness |
//! | hardness | yes | of the lip, Shore A |
//! | id | | name in the file, made from the name when left out |
//! | folds | | of the bellows, 0 when left out |
//! | channel | | free height under the cup when it is drawn down; assumed when left out, and marked so |
//! | sealing share, tilt reduction, seal minimum | | assumed when left out, and marked so |
//! | lip | | `plain`, `thin film` or `foam` |
//! | closes | | height variation the lip closes |
//! | allowed | | surfaces: `smooth`, `structured`, `porous`, `film`, separated by `+` |
//! | material, thread, mass | | for people, and the tool's mass |

mod columns;
mod read;
mod write;

pub use read::read_models_csv;
pub use write::models_csv;
