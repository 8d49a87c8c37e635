//! A garden at a station of the climate normals, with nothing planted.

use breakcrop::origin::Origin;
use breakcrop::records::{ClimateMonth, FrostDay, Garden, Site};
use breakcrop::units::Celsius;

use super::Row;

/// The garden of a station by the rows of its twelve months; `frosts` are its last and its first.
pub(crate) fn station_garden(
    normals: &[Row],
    station: &str,
    [last_frost, first_frost]: [FrostDay; 2],
) -> Garden {
    let months: Vec<&Row> = normals.iter().filter(|row| row.get("station") == station).collect();
    assert_eq!(months.len(), 12, "{station}");
    let number = |row: &Row, column: &str| row.number(column).expect("a number");
    Garden {
        site: Some(Site {
            name: station.into(),
            latitude: number(months[0], "lat"),
            longitude: number(months[0], "lon"),
            elevation: None,
            last_frost,
            first_frost,
            origin: Origin::new("site.csv", 2),
        }),
        climate: months
            .iter()
            .zip(1..)
            .map(|(row, month)| ClimateMonth {
                month,
                tmin: Celsius(number(row, "tmin_c")),
                tmax: Celsius(number(row, "tmax_c")),
                rain: None,
                tmin_sd: None,
                origin: Origin::new("climate.csv", 2),
            })
            .collect(),
        ..Garden::default()
    }
}
