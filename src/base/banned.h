/* banned.h - included before every file: functions that depend on the locale,
 * lose errors or cannot bound what they write are compile errors here. */
#ifndef BASE_BANNED_H
#define BASE_BANNED_H

#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* With _FORTIFY_SOURCE some of these are macros; a poisoned one would be used. */
#undef sprintf
#undef vsprintf

/* strncpy belongs here too, but libxlsxwriter's header names it in a macro. */
#pragma GCC poison strcpy strcat strncat sprintf vsprintf strtok strtok_r
#pragma GCC poison atoi atol atoll atof strtod strtof strtold setlocale gets tmpnam

#endif
