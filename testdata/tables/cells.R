# Reads tables with R's own read.csv and prints every number in them.
#
#     Rscript cells.R TABLE.csv ...
#
# One line for each number: file, heading, row from 1, the number with 17
# significant digits. Texts are compared by cells.py.

for (name in commandArgs(trailingOnly = TRUE)) {
  table <- read.csv(name, colClasses = "character", check.names = FALSE,
                    encoding = "UTF-8", quote = "\"", comment.char = "",
                    skipNul = TRUE)
  for (head in names(table)) {
    plain <- grepl("^[+-]?[0-9]+(\\.[0-9]+)?$", table[[head]], perl = TRUE)
    for (row in which(plain)) {
      cat(sprintf("%s\t%s\t%d\t%.17g\n", basename(name), head, row,
                  as.numeric(table[[head]][row])))
    }
  }
}
