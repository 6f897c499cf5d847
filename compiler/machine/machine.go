// Package machine turns a spec into numbers: sections, members, the frame in its
// positions, what gives, modes, drives. It words nothing and knows no report.
package machine
