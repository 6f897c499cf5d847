// Package machine turns a spec into numbers: sections, members, the frame in its
// positions, compliance, modes, drives. It words nothing and knows no report.
package machine
