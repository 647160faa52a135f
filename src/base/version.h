/* version.h - the one place where the version stands. */
#ifndef BASE_VERSION_H
#define BASE_VERSION_H

#define THRAVE_VERSION "0.1.0"

#endif
