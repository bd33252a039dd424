// placeholder
package svg
