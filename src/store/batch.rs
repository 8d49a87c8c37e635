//! Rows of one table on their way in, several by one statement: what a statement costs beside its
//! rows (its cursors, the way down each tree) is then paid once for many.

use rusqlite::types::ValueRef;
use rusqlite::{Connection, Error, Statement, ToSql, types::ToSqlOutput};

/// Rows of one statement. Twice as many gain nothing more.
const ROWS: usize = 16;

/// So many rows go one by one: a short file is written before the long statement is made ready.
const FIRST: usize = 64;

/// The rows of one table. Those held back are in the statement's hands and not yet in the table
/// until [`Batch::flush`].
pub(super) struct Batch<'s> {
    connection: &'s Connection,
    table: &'static str,
    columns: Vec<&'static str>,
    one: Statement<'s>,
    many: Option<Many<'s>>,
    written: usize,
    /// The newest id of the table, rows held back included.
    last: i64,
}

/// The statement of [`ROWS`] rows.
struct Many<'s> {
    statement: Statement<'s>,
    /// What each of its places holds from the rows before.
    bound: Vec<Bound>,
    /// Rows given to it and not yet written.
    held: usize,
}

/// What a place of a statement holds, so far as it need not be given again.
#[derive(Clone, Copy, PartialEq)]
enum Bound {
    Null,
    Whole(i64),
    Empty,
    Other,
}

impl Bound {
    fn of(value: ValueRef<'_>) -> Self {
        match value {
            ValueRef::Null => Self::Null,
            ValueRef::Integer(number) => Self::Whole(number),
            ValueRef::Text([]) => Self::Empty,
            ValueRef::Real(_) | ValueRef::Text(_) | ValueRef::Blob(_) => Self::Other,
        }
    }
}

/// A value as SQLite takes it.
struct Given<'v>(ValueRef<'v>);

impl ToSql for Given<'_> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::Borrowed(self.0))
    }
}

impl<'s> Batch<'s> {
    /// Of a table with these columns, of which the first is never blank, and whose newest row has
    /// the id `last`.
    pub(super) fn new(
        connection: &'s Connection,
        table: &'static str,
        columns: Vec<&'static str>,
        last: i64,
    ) -> rusqlite::Result<Self> {
        let marks = vec!["?"; columns.len()].join(", ");
        let sql = format!("INSERT INTO {table} ({}) VALUES ({marks})", columns.join(", "));
        let one = connection.prepare(&sql)?;
        Ok(Self { connection, table, columns, one, many: None, written: 0, last })
    }

    /// Takes a row, in the order of the columns; its id.
    pub(super) fn push<'v>(
        &mut self,
        row: impl Iterator<Item = ValueRef<'v>>,
    ) -> rusqlite::Result<i64> {
        self.written += 1;
        if self.written <= FIRST {
            for (at, value) in row.enumerate() {
                self.one.raw_bind_parameter(at + 1, Given(value))?;
            }
            self.one.raw_execute()?;
            self.last = self.connection.last_insert_rowid();
            return Ok(self.last);
        }
        let width = self.columns.len();
        let many = match &mut self.many {
            Some(many) => many,
            None => self.many.insert(Many {
                statement: self.connection.prepare(&many_sql(self.table, &self.columns))?,
                bound: vec![Bound::Null; ROWS * width],
                held: 0,
            }),
        };
        let from = many.held * width;
        for (at, value) in (from..from + width).zip(row) {
            let bound = Bound::of(value);
            if bound == Bound::Other || bound != many.bound[at] {
                many.statement.raw_bind_parameter(at + 1, Given(value))?;
                many.bound[at] = bound;
            }
        }
        many.held += 1;
        let is_full = many.held == ROWS;
        // Rows are never deleted, so that a new one always gets the next id.
        self.last += 1;
        if is_full {
            self.flush()?;
        }
        Ok(self.last)
    }

    /// Writes the rows held back.
    pub(super) fn flush(&mut self) -> rusqlite::Result<()> {
        let Some(many) = self.many.as_mut().filter(|many| many.held > 0) else { return Ok(()) };
        let width = self.columns.len();
        for row in many.held..ROWS {
            // A row without its first value is passed over.
            many.statement.raw_bind_parameter(row * width + 1, Given(ValueRef::Null))?;
            many.bound[row * width] = Bound::Null;
        }
        many.held = 0;
        many.statement.raw_execute()?;
        if self.connection.last_insert_rowid() == self.last {
            Ok(())
        } else {
            // In a file that somebody else wrote to, ids may have come to their end.
            Err(Error::IntegralValueOutOfRange(0, self.last))
        }
    }
}

/// The statement of several rows. If one of them is refused, those before it stay until the caller
/// undoes the import: SQLite then keeps no second journal for each statement.
fn many_sql(table: &str, columns: &[&str]) -> String {
    let row = |row: usize| {
        let marks = (1..=columns.len()).map(|at| format!("?{}", row * columns.len() + at));
        let marks: Vec<String> = marks.collect();
        format!("SELECT {} WHERE {} IS NOT NULL", marks.join(", "), marks[0])
    };
    let rows: Vec<String> = (0..ROWS).map(row).collect();
    format!("INSERT OR FAIL INTO {table} ({}) {}", columns.join(", "), rows.join(" UNION ALL "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    fn table() -> Connection {
        let connection = Connection::open_in_memory().expect("opens");
        let sql = "CREATE TABLE rows (id INTEGER PRIMARY KEY, of INTEGER NOT NULL, \
                   word TEXT, part REAL CHECK (part > 0)) STRICT";
        connection.execute_batch(sql).expect("makes");
        connection
    }

    #[test]
    fn rows_are_the_same_however_many_go_together() {
        let words = ["", "a", "bc"];
        for count in [0, 1, FIRST, FIRST + 1, FIRST + ROWS, FIRST + 3 * ROWS + 5] {
            let connection = table();
            let mut batch =
                Batch::new(&connection, "rows", vec!["of", "word", "part"], 0).expect("begins");
            let row = |at: usize| {
                let whole = i64::try_from(at / 3).expect("fits");
                let word = words.get(at % 4).map(|word| (*word).to_owned());
                (whole, word, (!at.is_multiple_of(5)).then_some(0.5 * (at % 5) as f64))
            };
            let mut wanted = Vec::new();
            for at in 0..count {
                let (of, word, part) = row(at);
                let text =
                    word.as_ref().map_or(ValueRef::Null, |text| ValueRef::Text(text.as_bytes()));
                let values =
                    [ValueRef::Integer(of), text, part.map_or(ValueRef::Null, ValueRef::Real)];
                let id = batch.push(values.into_iter()).expect("is taken");
                wanted.push((id, of, word, part));
                // Now and then somebody wants to read them.
                if at % 29 == 0 {
                    batch.flush().expect("writes");
                }
            }
            batch.flush().expect("writes");
            let mut statement =
                connection.prepare("SELECT id, of, word, part FROM rows ORDER BY id").expect("sql");
            let found: Vec<(i64, i64, Option<String>, Option<f64>)> = statement
                .query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?)))
                .expect("reads")
                .collect::<rusqlite::Result<_>>()
                .expect("reads");
            assert_eq!(found, wanted, "{count} rows");
        }
    }

    #[test]
    fn what_the_table_refuses_is_refused() {
        let connection = table();
        let mut batch = Batch::new(&connection, "rows", vec!["of", "part"], 0).expect("begins");
        let row = |part: f64| [ValueRef::Integer(1), ValueRef::Real(part)].into_iter();
        for _ in 0..FIRST + 3 {
            batch.push(row(1.0)).expect("is taken");
        }
        batch.push(row(-1.0)).expect("is held");
        let error = batch.flush().expect_err("is refused").to_string();
        assert!(error.contains("CHECK"), "{error}");
    }
}
