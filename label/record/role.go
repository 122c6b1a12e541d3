package record

import "slices"

// Role is what a person who signed in to the server may do. A line of the ledger has the role that its
// author had then; "" where nobody signed in, and By was typed.
type Role string

// The roles.
const (
	RoleRead     Role = "read"     // sees the pages
	RolePlanner  Role = "planner"  // prints, logs changes, notes what was done on the equipment
	RoleEngineer Role = "engineer" // also settles changes, reviews studies, accepts findings
	RoleOwner    Role = "owner"    // all of it
)

// Roles are all of them. Each may do what those before it may.
var Roles = []Role{RoleRead, RolePlanner, RoleEngineer, RoleOwner}

// Known reports whether it is one of the roles.
func (r Role) Known() bool { return slices.Contains(Roles, r) }

// May reports whether a person of this role may do what a role is needed for. An unknown role may
// do nothing.
func (r Role) May(needed Role) bool {
	is, least := slices.Index(Roles, r), slices.Index(Roles, needed)
	return is >= 0 && least >= 0 && is >= least
}

// With is a name with the role that the person had; the name alone where there is no role.
func (r Role) With(name string) string {
	if r == "" || name == "" {
		return name
	}
	return name + ", " + string(r)
}

// Who is who wrote the line: "E. Sample, engineer" where the person had signed in, else the name that
// was typed.
func (l *Line) Who() string { return l.Role.With(l.By) }
