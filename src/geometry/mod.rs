//! Geometry: exact level and volume for any closed sump at any attitude.
