package section

import (
	"encoding/binary"
	"math"
	"sync"

	"ironbed/compiler/mesh"
	"ironbed/compiler/warping"
)

// What has been solved: a machine's members share a few sections, and
// each change that is tried leaves most of them as they are. Shapes keep their
// meshes for other materials.
var (
	knownShapes  sync.Map // by outlines: *warping.Section
	knownResults sync.Map // by outlines and materials: numericalResult
	keeper       Keeper
)

type numericalResult struct {
	p   warping.Properties
	err error
}

// A Keeper keeps solutions beyond the process, by all that determines them but the
// program itself. It gives back what it was given to the byte, or nothing, and is used
// by several goroutines at once.
type Keeper interface {
	Get(key []byte) (solution []byte, ok bool)
	Put(key, solution []byte)
}

// Keep has solutions by finite elements kept by a keeper, nil for none. They are the same
// to the bit with and without one. It is not called while anything is solved.
func Keep(k Keeper) { keeper = k }

// known is [warping.Section.Analyse], once for the same regions and materials.
func known(regions []mesh.Region, materials []warping.Material) (warping.Properties, error) {
	outlines := appendRegions(nil, regions)
	key := appendList(outlines, materials)
	if r, ok := knownResults.Load(string(key)); ok {
		return r.(numericalResult).p, r.(numericalResult).err
	}
	var r numericalResult
	var ok bool
	if r.p, ok = kept(key); !ok {
		shape, _ := knownShapes.LoadOrStore(string(outlines), warping.New(regions))
		r.p, r.err = shape.(*warping.Section).Analyse(materials)
		if r.err == nil && keeper != nil {
			keeper.Put(key, appendBits(nil, r.p))
		}
	}
	knownResults.Store(string(key), r)
	return r.p, r.err
}

// kept is a solution of the keeper; false where it has none, or one that cannot be.
func kept(key []byte) (p warping.Properties, ok bool) {
	if keeper == nil {
		return p, false
	}
	text, ok := keeper.Get(key)
	if !ok || len(text) != binary.Size(p) {
		return p, false
	}
	for at := 0; at < len(text); at += 8 {
		if !finite(math.Float64frombits(binary.LittleEndian.Uint64(text[at:]))) {
			return p, false
		}
	}
	_, err := binary.Decode(text, binary.LittleEndian, &p)
	return p, err == nil
}

// appendRegions appends regions, so that no two lists have the same bits.
func appendRegions(to []byte, regions []mesh.Region) []byte {
	to = appendBits(to, uint64(len(regions)))
	for _, r := range regions {
		to = appendList(to, r.Outer)
		to = appendBits(to, uint64(len(r.Holes)))
		for _, h := range r.Holes {
			to = appendList(to, h)
		}
	}
	return to
}

// appendList appends how many values there are, and their bits.
func appendList[T any](to []byte, list []T) []byte {
	return appendBits(appendBits(to, uint64(len(list))), list)
}

// appendBits appends the bits of all fields of a value.
func appendBits(to []byte, v any) []byte {
	to, err := binary.Append(to, binary.LittleEndian, v)
	if err != nil {
		panic(err) // a field without a fixed size
	}
	return to
}
