package axis

import (
	"errors"
	"fmt"

	"ironbed/compiler/drive"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// nutRing is the outside diameter of the steel ring, over the screw's, that
// stands for a rotating nut with its pulley, three diameters long [-]; from memory.
const nutRing = 2.1

// weigh sets a drive beside what might stand in its place: a screw beside the same
// screw with its nut turning, or the other way round, and the alternatives of
// the spec.
func (s *Solution) weigh(v *Driven) error {
	list := []*Alternative{{Kind: Described, Log: v.Log}}
	if kind, _, ok := otherWay(v.In); ok {
		list = append(list, &Alternative{Kind: kind, Log: spec.Over(v.Log)})
	}
	a := &s.Spec.Axes[v.Axis].Item
	for i := range a.Alternatives {
		log := &spec.Log{}
		if a.Alternatives[i].Item.Motor == nil {
			log.Rest(v.Read.Log(machine.Torque, machine.Rotor, machine.Counts, machine.Steps, machine.Servo, machine.Brake))
		}
		list = append(list, &Alternative{Kind: FromTheSpec, Entry: &a.Alternatives[i], Log: log})
	}
	if len(list) == 1 {
		return nil
	}
	compared, err := s.compare(v, list, v.In, s.Model, func(a *Alternative) spec.Reader { return s.Model.Read.Into(a.Log) })
	if err != nil {
		return err
	}
	v.Alternatives = list
	for i := range list {
		list[i].Compared = compared[i]
	}
	for _, end := range v.Ends {
		compared, err := s.compare(v, list, end.In, end.model, func(*Alternative) spec.Reader { return spec.At(end.Bound) })
		if err != nil {
			continue // the formulas do not hold there
		}
		for i := range list {
			list[i].Ends = append(list[i].Ends, &compared[i])
		}
	}
	return nil
}

// compare computes alternatives by the numbers that readers pick.
func (s *Solution) compare(v *Driven, list []*Alternative, in drive.Input, d *machine.Model, read func(*Alternative) spec.Reader) ([]drive.Compared, error) {
	var options []drive.Option
	for _, a := range list {
		switch a.Kind {
		case Described:
			options = append(options, drive.Option{Mechanism: in.Mechanism, Reduction: in.Reduction, Motor: in.Motor})
		case FromTheSpec:
			own, err := machine.DriveInput(d, v.Axis, &a.Entry.Item, machine.ReadDrive(read(a)), in.CuttingForce, in.CuttingFeed)
			if err != nil {
				return nil, fmt.Errorf("alternative %s: %w", a.Entry.Name, err)
			}
			option := drive.Option{Mechanism: own.Mechanism, Reduction: own.Reduction, Motor: own.Motor}
			instead := *a.Entry
			if len(own.Motor.Continuous) == 0 {
				option.Motor, instead.Item.Motor = in.Motor, v.Entry.Item.Motor
			}
			if option.Carried, err = s.carriesMore(v, d, a.Log, func(*spec.Entry[spec.Drive]) *spec.Entry[spec.Drive] { return &instead }); err != nil {
				return nil, err
			}
			options = append(options, option)
		default:
			_, option, ok := otherWay(in)
			if !ok {
				return nil, errors.New("the nut leaves the screw")
			}
			var err error
			if option.Carried, err = s.carriesMore(v, d, a.Log, s.Spec.OtherWay); err != nil {
				return nil, err
			}
			nut := machine.NutStiffness(s.Spec.OtherWay(v.Entry).Item.Screw, read(a))
			switch m := option.Mechanism.(type) {
			case drive.RotatingNut:
				m.Nut = nut
				option.Mechanism = m
			case drive.RotatingScrew:
				m.Nut = nut
				option.Mechanism = m
			}
			options = append(options, option)
		}
	}
	return drive.Compare(in, options)
}

// carriesMore is how much more an axis moves with other drives in place of each of its own [kg].
func (s *Solution) carriesMore(v *Driven, d *machine.Model, log *spec.Log, other func(*spec.Entry[spec.Drive]) *spec.Entry[spec.Drive]) (float64, error) {
	drives := s.Spec.Axes[v.Axis].Item.Drives
	var list []*spec.Entry[spec.Drive]
	for i := range drives {
		list = append(list, other(&drives[i]))
	}
	return d.MovedMore(v.Axis, list, log)
}

// otherWay is the same screw with the nut turning in place of the screw, or the
// screw in place of the nut.
func otherWay(in drive.Input) (Kind, drive.Option, bool) {
	option := drive.Option{Reduction: in.Reduction, Motor: in.Motor}
	switch m := in.Mechanism.(type) {
	case drive.RotatingScrew:
		screw, supports := m.Screw, m.Supports
		supports.Ends, supports.Tilt = drive.FixedFixed, 0
		d := screw.NominalDiameter
		inertia, err := drive.RingInertia(nutRing*d, d, 3*d, screw.Material.Density)
		if err != nil || supports.NutTo >= screw.Unsupported {
			return NutRotates, option, false
		}
		option.Mechanism = drive.RotatingNut{Screw: screw, Supports: supports, NutInertia: inertia}
		return NutRotates, option, true
	case drive.RotatingNut:
		screw := m.Screw
		screw.Tension = 0
		option.Mechanism = drive.RotatingScrew{Screw: screw, Supports: m.Supports}
		return ScrewRotates, option, true
	}
	return Described, option, false
}
