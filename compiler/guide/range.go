package guide

import "ironbed/compiler/domain"

// A Range is a value with bounds: what is usual, where nothing is measured.
type Range = domain.Range
