import java.io.File;
import org.apache.pdfbox.preflight.PreflightDocument;
import org.apache.pdfbox.preflight.ValidationResult;
import org.apache.pdfbox.preflight.exception.SyntaxValidationException;
import org.apache.pdfbox.preflight.parser.PreflightParser;

/** Prints for each file whether Apache PDFBox Preflight calls it PDF/A-1b, and every fault that it names. */
public class CheckArchival {
  public static void main(String[] files) throws Exception {
    for (String file : files) {
      ValidationResult result = validated(new File(file));
      System.out.println(result.isValid() ? "valid" : "not valid");
      for (ValidationResult.ValidationError fault : result.getErrorsList())
        System.out.println(fault.getErrorCode() + " " + fault.getDetails());
    }
  }

  private static ValidationResult validated(File file) throws Exception {
    PreflightParser parser = new PreflightParser(file);
    try {
      parser.parse();
      try (PreflightDocument document = parser.getPreflightDocument()) {
        document.validate();
        return document.getResult();
      }
    } catch (SyntaxValidationException e) {
      return e.getResult();
    }
  }
}
