// Package kit takes a sized stove apart into everything that is bought, moulded
// and cut for it: parts with count and mass, full-size patterns, moulds and
// gauges, the layout on the sheet at hand, and the list for the shop.
//
// [Make] builds a [Kit] from a [stovewright/stove.Stove]; [Kit.Files] writes it.
// Patterns and moulds are in millimetres, as they are drawn; parts, stock and
// purchases are in SI, as they are weighed and paid.
//
// The fuel mouth faces +x of the stove. A rolled blank is laid out with the
// outside up; where it has one seam, that lies at the back, so that the mouth
// is in the middle of the sheet.
package kit
