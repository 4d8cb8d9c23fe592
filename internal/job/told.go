package job

import (
	"laywright/internal/base/material"
	"laywright/internal/base/resin"
)

// Fabric returns the record of a cloth that the plan was made with; the zero
// record where there is none of that name.
func (p Plan) Fabric(name string) material.Fabric { return p.records.Fabrics[name] }

// Resin returns the plan's resin: its name, its record and its law of cure, which
// is nil where the record does not tell it.
func (p Plan) Resin() (name string, record material.Resin, law *resin.Law, err error) {
	name, _ = p.Spec.resinName()
	record, law, _, err = link{spec: p.Spec, records: p.records, plan: &p, hardens: p.hardens}.law()
	return name, record, law, err
}
