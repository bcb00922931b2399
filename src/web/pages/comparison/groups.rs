//! Tests under one another: by weight, by stage of evidence, by machine contact.

use crate::catalogue::Category;
use crate::prose::standing::per_cent;
use crate::records::TrialRecords;
use crate::web::pages::comparison::look::Order;
use crate::web::pages::comparison::tests_by_weight::TestRow;
use std::collections::BTreeMap;

/// Tests that stand together.
pub(crate) struct TestGroup {
    /// What they have in common; empty where all tests are one group.
    pub(crate) heading: String,
    pub(crate) rows: Vec<TestRow>,
}

/// Tests in the order that was asked for; inside a group the greatest weight stays first.
pub(crate) fn grouped(rows: Vec<TestRow>, order: Order, records: &TrialRecords) -> Vec<TestGroup> {
    let mut groups: BTreeMap<usize, TestGroup> = BTreeMap::new();
    let contacts = &records.machine.contacts;
    for row in rows {
        let (place, heading) = match order {
            Order::Weight => (0, String::new()),
            Order::Stage => row.stage.map_or((usize::MAX, String::new()), |stage| {
                let place = Category::ALL.iter().position(|known| *known == stage);
                let heading = format!("Category {}: {}", stage.word(), stage.meaning());
                (place.unwrap_or(usize::MAX), heading)
            }),
            Order::Contact => {
                let nearest = row.nearest.and_then(|place| Some((place, contacts.get(place)?)));
                nearest.map_or(
                    (usize::MAX, "Resembles no contact of the machine".to_string()),
                    |(place, contact)| {
                        let share = per_cent(contact.share);
                        (
                            place,
                            format!(
                                "Most like the machine's {}, {share} of what matters",
                                contact.name
                            ),
                        )
                    },
                )
            }
        };
        let group = groups.entry(place).or_insert_with(|| TestGroup {
            heading,
            rows: Vec::new(),
        });
        group.rows.push(row);
    }
    groups.into_values().collect()
}
