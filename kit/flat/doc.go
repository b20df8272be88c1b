// Package flat develops sheet-metal parts on the flat: what to mark on the
// sheet so that, rolled and folded, it has the shape wanted.
//
// Lengths are in millimetres, points are points of [stovewright/drawing], and
// angles are in radians except where a drawing takes degrees. Cylinders are
// developed at the middle of their thickness, which is right within a
// hundredth of the thickness for diameters above twenty thicknesses.
package flat
